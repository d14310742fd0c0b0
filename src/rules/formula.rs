//! The macro that writes a formula beside its clause, and the test that holds its three forms together.

/// Writes a [`crate::record::Formula`]: quantity, unit, clause; printed text; spreadsheet form; computation.
/// The names of the inputs stand once, as the parameters of the computation.
macro_rules! formula {
    ($(#[$doc:meta])* $name:ident: $quantity:literal, $unit:literal, $reference:expr;
     $text:literal; $sheet:literal; |$($input:ident),+| $value:expr) => {
        $(#[$doc])*
        pub static $name: crate::record::Formula = crate::record::Formula {
            quantity: $quantity,
            text: $text,
            sheet: $sheet,
            inputs: &[$(stringify!($input)),+],
            unit: $unit,
            reference: $reference,
            compute: |numbers| {
                #[allow(non_snake_case)] // the names are those of the printed formula
                let &[$($input),+] = numbers else { return f64::NAN };
                $value
            },
        };
    };
}

/// Writes a table: the document, and its typed rows, parsed once.
macro_rules! table {
    ($(#[$doc:meta])* $document:ident, $rows:ident: $row:ty, $name:literal) => {
        $(#[$doc])*
        pub static $document: crate::rules::table::Document =
            crate::rules::table::Document { name: $name, text: include_str!(concat!("tables/", $name, ".csv")) };
        pub(crate) static $rows: std::sync::LazyLock<Vec<$row>> = std::sync::LazyLock::new(|| $document.rows());
    };
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use crate::record::Formula;
    use crate::rules::formulas;

    /// Reads the spreadsheet form; only what a formula may contain. No sign in front of a number or name, because spreadsheets
    /// disagree with mathematics on `-2^2`.
    struct Sheet<'a> {
        rest: &'a str,
        names: &'a BTreeMap<&'static str, f64>,
    }

    impl Sheet<'_> {
        fn evaluate(text: &str, names: &BTreeMap<&'static str, f64>) -> Result<f64, String> {
            let mut sheet = Sheet { rest: text, names };
            let value = sheet.sum()?;
            sheet.skip();
            if sheet.rest.is_empty() { Ok(value) } else { Err(format!("left over: {}", sheet.rest)) }
        }

        fn skip(&mut self) {
            self.rest = self.rest.trim_start();
        }

        fn take(&mut self, text: &str) -> bool {
            self.skip();
            self.rest.strip_prefix(text).is_some_and(|rest| {
                self.rest = rest;
                true
            })
        }

        fn demand(&mut self, text: &str) -> Result<(), String> {
            if self.take(text) { Ok(()) } else { Err(format!("`{text}` wanted at `{}`", self.rest)) }
        }

        fn sum(&mut self) -> Result<f64, String> {
            let mut value = self.product()?;
            loop {
                if self.take("+") {
                    value += self.product()?;
                } else if self.take("-") {
                    value -= self.product()?;
                } else {
                    return Ok(value);
                }
            }
        }

        fn product(&mut self) -> Result<f64, String> {
            let mut value = self.power()?;
            loop {
                if self.take("*") {
                    value *= self.power()?;
                } else if self.take("/") {
                    value /= self.power()?;
                } else {
                    return Ok(value);
                }
            }
        }

        fn power(&mut self) -> Result<f64, String> {
            let mut value = self.atom()?;
            while self.take("^") {
                value = libm::pow(value, self.atom()?);
            }
            Ok(value)
        }

        fn atom(&mut self) -> Result<f64, String> {
            if self.take("(") {
                let value = self.sum()?;
                self.demand(")")?;
                return Ok(value);
            }
            let end = self.rest.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.')).unwrap_or(self.rest.len());
            let (word, rest) = self.rest.split_at(end);
            self.rest = rest;
            if word.starts_with(|c: char| c.is_ascii_digit()) {
                return word.parse().map_err(|_| format!("`{word}` is no number"));
            }
            if self.take("(") {
                return self.call(word);
            }
            self.names.get(word).copied().ok_or_else(|| format!("`{word}` is no input"))
        }

        fn call(&mut self, function: &str) -> Result<f64, String> {
            if function == "IF" {
                let left = self.sum()?;
                self.demand("<=")?;
                let right = self.sum()?;
                self.demand(",")?;
                let then = self.sum()?;
                self.demand(",")?;
                let otherwise = self.sum()?;
                self.demand(")")?;
                return Ok(if left <= right { then } else { otherwise });
            }
            let mut arguments = vec![self.sum()?];
            while self.take(",") {
                arguments.push(self.sum()?);
            }
            self.demand(")")?;
            match (function, arguments.as_slice()) {
                ("SQRT", [x]) => Ok(x.sqrt()),
                ("LN", [x]) => Ok(libm::log(*x)),
                ("EXP", [x]) => Ok(libm::exp(*x)),
                ("MAX", [first, rest @ ..]) => Ok(rest.iter().fold(*first, |a, b| a.max(*b))),
                ("MIN", [first, rest @ ..]) => Ok(rest.iter().fold(*first, |a, b| a.min(*b))),
                _ => Err(format!("`{function}` with {} arguments", arguments.len())),
            }
        }
    }

    const NUMBERS: &[[f64; 8]] = &[
        [7500.0, 400.0, 0.9, 0.85, 3.0, 1.5, 2.0, 0.5],
        [7.0, 3.0, 2.0, 1.2, 0.4, 11.0, 5.0, 0.7],
        [0.8, 0.65, 6.0, 10.0, 230.0, 0.3, 1.15, 40.0],
        [12.0, 2500.0, 0.1, 7.2, 60.0, 0.05, 1e6, 3.0],
        [50.0, 41.0, 40.0, 1.0, 0.01, 30.0, 0.2, 9.0],
        [0.01, 5.0, 8.0, 0.02, 33.0, 4.0, 90.0, 1.4],
        [1e6, 2e5, 0.25, 55.0, 1.3, 0.6, 8.0, 2.0],
    ];

    fn agrees(formula: &Formula) -> Result<(), String> {
        let mut compared = 0;
        for numbers in NUMBERS {
            let numbers = numbers.get(..formula.inputs.len()).ok_or("more inputs than the test has numbers")?;
            let names = formula.inputs.iter().copied().zip(numbers.iter().copied()).collect();
            let sheet = Sheet::evaluate(formula.sheet, &names)?;
            let computed = (formula.compute)(numbers);
            if computed.is_finite() || sheet.is_finite() {
                compared += 1;
                if (computed - sheet).abs() > 1e-9 * computed.abs().max(sheet.abs()) {
                    return Err(format!("{numbers:?}: computed {computed}, spreadsheet {sheet}"));
                }
            }
        }
        if compared < 3 { Err(format!("only {compared} comparisons gave a number")) } else { Ok(()) }
    }

    #[test]
    fn every_spreadsheet_form_gives_what_the_program_computes() {
        let wrong: Vec<String> = formulas()
            .iter()
            .filter_map(|formula| agrees(formula).err().map(|error| format!("{}: {error}", formula.quantity)))
            .collect();
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    #[test]
    fn every_formula_is_complete_and_its_result_named_once() {
        let mut texts = Vec::new();
        for formula in formulas() {
            for part in [formula.quantity, formula.text, formula.sheet, formula.reference] {
                assert!(!part.is_empty(), "{}", formula.quantity);
            }
            assert!(!texts.contains(&(formula.quantity, formula.text)), "{} stands twice", formula.quantity);
            texts.push((formula.quantity, formula.text));
        }
    }

    #[test]
    fn the_evaluator_knows_right_from_wrong() {
        let names = BTreeMap::from([("a", 2.0), ("b", 3.0)]);
        assert_eq!(Sheet::evaluate("a+b*2^2", &names), Ok(14.0));
        assert_eq!(Sheet::evaluate("IF(a<=b,MAX(a,b),SQRT(4))-(1)", &names), Ok(2.0));
        assert!(Sheet::evaluate("a+c", &names).is_err());
        assert!(Sheet::evaluate("-a", &names).is_err());
        assert!(Sheet::evaluate("a b", &names).is_err());
    }
}
