//! The starter blanks, shipped with the program.

use crate::{Knife, file};

/// A blank to start from.
#[derive(Clone, Copy, Debug)]
pub struct Starter {
    /// Its short name, as typed on the command line.
    pub key: &'static str,
    text: &'static str,
}

impl Starter {
    /// The blank itself.
    pub fn knife(&self) -> Knife {
        // The shipped files are sound: a test opens every one.
        file::open(self.text.as_bytes()).map_or_else(|_fault| Knife::empty(), |opened| opened.knife)
    }

    /// The blank's file as shipped.
    pub fn text(&self) -> &'static str {
        self.text
    }
}

macro_rules! starters {
    ($($key:literal),* $(,)?) => {
        /// Every starter, in the order they are offered.
        pub const STARTERS: &[Starter] = &[$(Starter {
            key: $key,
            text: include_str!(concat!("../../../assets/starters/", $key, ".blank.json")),
        }),*];
    };
}

starters!(
    "drop-point",
    "clip-point",
    "spear-point",
    "sheepsfoot",
    "wharncliffe",
    "tanto",
    "trailing-point",
    "skinner",
    "bird-and-trout",
    "chefs-8in",
    "petty",
    "small-utility",
);

/// The starter of this short name.
pub fn starter(key: &str) -> Option<&'static Starter> {
    STARTERS.iter().find(|starter| starter.key == key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_starter_is_sound_and_written_as_this_program_writes_it() {
        assert!(STARTERS.len() >= 10);
        for starter in STARTERS {
            let opened = file::open(starter.text.as_bytes()).unwrap();
            assert_eq!(opened.faults, vec![], "{}", starter.key);
            let written = String::from_utf8(file::save(&opened.knife)).unwrap();
            assert!(written == starter.text, "{} is not as saved", starter.key);
            assert!(opened.knife.profile.tip.is_some() && opened.knife.profile.heel.is_some());
        }
    }
}
