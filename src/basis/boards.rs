//! The boards of a basis in their order, and each by its name: every circuit asks for the boards before it up to the supply, and a search
//! through all of them for each would make large networks slow.

use std::collections::HashMap;
use std::ops::{Deref, DerefMut};
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::BoardBasis;

/// Boards in the order of the basis. They are read and changed as a list.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Boards {
    list: Vec<BoardBasis>,
    /// Place of the first board of a name; made when somebody asks for it, forgotten when the list may change.
    #[serde(skip)]
    places: OnceLock<HashMap<String, usize>>,
}

impl Boards {
    /// The board of that name, the first one where several bear it.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<&BoardBasis> {
        let places = self.places.get_or_init(|| {
            let mut places = HashMap::with_capacity(self.list.len());
            for (place, board) in self.list.iter().enumerate() {
                if let Some(name) = &board.name {
                    places.entry(name.clone()).or_insert(place);
                }
            }
            places
        });
        self.list.get(*places.get(name)?)
    }
}

impl Deref for Boards {
    type Target = Vec<BoardBasis>;

    fn deref(&self) -> &Self::Target {
        &self.list
    }
}

impl DerefMut for Boards {
    fn deref_mut(&mut self) -> &mut Self::Target {
        self.places = OnceLock::new();
        &mut self.list
    }
}

impl PartialEq for Boards {
    fn eq(&self, other: &Self) -> bool {
        self.list == other.list
    }
}

impl From<Vec<BoardBasis>> for Boards {
    fn from(list: Vec<BoardBasis>) -> Self {
        Self { list, places: OnceLock::new() }
    }
}

impl<'a> IntoIterator for &'a Boards {
    type Item = &'a BoardBasis;
    type IntoIter = std::slice::Iter<'a, BoardBasis>;

    fn into_iter(self) -> Self::IntoIter {
        self.list.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn board(name: &str, volts: f64) -> BoardBasis {
        BoardBasis { name: Some(name.to_owned()), voltage_v: Some(volts), ..BoardBasis::default() }
    }

    #[test]
    fn a_board_is_found_by_the_name_that_it_bears_now() {
        let mut boards = Boards::from(vec![BoardBasis::default(), board("A", 400.0), board("A", 690.0)]);
        let volts = |boards: &Boards, name: &str| boards.named(name).and_then(|board| board.voltage_v);
        assert_eq!((volts(&boards, "A"), volts(&boards, "B"), volts(&boards, "")), (Some(400.0), None, None));
        boards.push(board("B", 230.0));
        boards[1].name = Some("C".to_owned());
        assert_eq!((volts(&boards, "A"), volts(&boards, "B"), volts(&boards, "C")), (Some(690.0), Some(230.0), Some(400.0)));
        boards.clear();
        assert_eq!(volts(&boards, "A"), None);
    }
}
