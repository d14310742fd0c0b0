//! The working of a circuit: its steps as they were taken, or the lines of a design that was read back. Steps become words only where
//! they are written, so that the words of thousands of circuits never stand in memory.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::WorkingLine;
use crate::record::Step;

/// The working of a circuit; in design.json a list of [`WorkingLine`].
#[derive(Clone, Debug)]
pub struct Working(Kept);

#[derive(Clone, Debug)]
enum Kept {
    /// As they were taken.
    Steps(Vec<Step>),
    /// As they were read back.
    Lines(Vec<WorkingLine>),
}

impl Default for Working {
    fn default() -> Self {
        Self(Kept::Lines(Vec::new()))
    }
}

impl From<Vec<Step>> for Working {
    fn from(steps: Vec<Step>) -> Self {
        Self(Kept::Steps(steps))
    }
}

impl Working {
    /// The steps; none where the design was read back, or keeps no working.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        match &self.0 {
            Kept::Steps(steps) => steps,
            Kept::Lines(_) => &[],
        }
    }

    /// The lines in order.
    pub fn lines(&self) -> impl Iterator<Item = Cow<'_, WorkingLine>> {
        let kept = if let Kept::Lines(lines) = &self.0 { lines.as_slice() } else { &[] };
        let printed = self.steps().iter().map(|step| Cow::Owned(step.printed().into()));
        printed.chain(kept.iter().map(Cow::Borrowed))
    }

    /// How many lines there are.
    #[must_use]
    pub fn len(&self) -> usize {
        match &self.0 {
            Kept::Steps(steps) => steps.len(),
            Kept::Lines(lines) => lines.len(),
        }
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Forgets all.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

impl PartialEq for Working {
    fn eq(&self, other: &Self) -> bool {
        self.lines().eq(other.lines())
    }
}

impl Serialize for Working {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.lines())
    }
}

impl<'de> Deserialize<'de> for Working {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self(Kept::Lines(Vec::deserialize(deserializer)?)))
    }
}

impl JsonSchema for Working {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        Vec::<WorkingLine>::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<WorkingLine>::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Formula, Record};

    static SUM: Formula = Formula {
        quantity: "sum",
        text: "S = a + b",
        sheet: "a+b",
        inputs: &["a", "b"],
        unit: "1",
        reference: "arithmetic",
        compute: |n| n[0] + n[1],
    };

    /// 1.5 + 2 = 3.5.
    #[test]
    fn steps_are_written_as_lines_and_read_back_as_equal() {
        let mut record = Record::new();
        record.step(&SUM, &[1.5, 2.0]);
        let taken = Working::from(record.into_parts().0);
        let text = serde_json::to_string(&taken).expect("JSON");
        assert_eq!(
            text,
            r#"[{"quantity":"sum","formula":"S = a + b","with_numbers":"a = 1.5, b = 2","value":3.5,"unit":"1","reference":"arithmetic"}]"#
        );
        let back: Working = serde_json::from_str(&text).expect("JSON");
        assert_eq!((back.len(), back.steps().len()), (1, 0));
        assert_eq!(back, taken);
        assert_ne!(back, Working::default());
    }
}
