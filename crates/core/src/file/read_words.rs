//! Reading the words that were moved by hand: by the tag of what they belong to.

use super::read::{Placed, Reader};
use super::scan::Section;
use super::v1::{WordsEntry, WordsTag};
use crate::circuit::Circuit;
use crate::project::{MovedWords, WordsOf};

impl Reader<'_> {
    pub(super) fn words(&mut self, section: &Section<'_>) -> Vec<Placed<WordsEntry>> {
        let called = "words that were moved";
        let spans = self.spans(section);
        let placed = spans.into_iter().filter_map(|span| {
            let entry = self.parse::<WordsEntry>(span, called)?;
            Some(Placed { entry, span, called: called.to_owned() })
        });
        placed.collect()
    }

    pub(super) fn moved_words(&mut self, words: Vec<Placed<WordsEntry>>, circuit: &Circuit) -> MovedWords {
        let mut moved = MovedWords::new();
        for Placed { entry, span, called } in words {
            let block = |tag: &str| circuit.block_by_tag(tag).map(|block| block.id);
            let (of, tag) = match &entry.of {
                WordsTag::Tag(tag) => (block(tag).map(WordsOf::Tag), tag),
                WordsTag::Ratings(tag) => (block(tag).map(WordsOf::Ratings), tag),
                WordsTag::Callout(tag) => (circuit.run_by_tag(tag).map(|run| WordsOf::Callout(run.id)), tag),
            };
            let Some(of) = of else {
                let found = format!("“{tag}”");
                let expected = "the tag of a block or run in this file";
                self.fault_in(
                    span,
                    "of",
                    &called,
                    expected,
                    &found,
                    "Correct the tag, or take the entry out.",
                );
                continue;
            };
            if !entry.at.is_sound() {
                let expected = "at most 1000 along and 4 lines";
                let found = format!("{} along, {} lines", entry.at.along, entry.at.lines);
                self.fault_in(span, "at", &called, expected, &found, "Correct it, or take the entry out.");
            } else if moved.insert(of, entry.at).is_some() {
                let found = format!("“{tag}” a second time");
                self.fault_in(span, "of", &called, "each words once", &found, "Take one of the two out.");
            }
        }
        moved
    }
}

#[cfg(test)]
mod tests {
    use crate::circuit::BlockId;
    use crate::edit::{Edit, apply, remove_block_with_runs};
    use crate::file::{ReadError, read, write};
    use crate::project::{Project, WordsOf, WordsPlace};

    fn cabin() -> Project {
        read(include_str!("../../../../assets/demos/cabin.lineside")).unwrap()
    }

    #[test]
    fn moved_words_are_read_as_they_were_written() {
        let mut cabin = cabin();
        let plain = write(&cabin).unwrap();
        assert!(!plain.contains("moved_words"), "no section without words");
        let block = cabin.circuit.block_by_tag("C1").unwrap().id;
        let run = cabin.circuit.run_by_tag("W4").unwrap().id;
        let beside = WordsPlace { right: 120, down: -35, ..WordsPlace::default() };
        let along = WordsPlace { along: 250, right: 4, down: -35, lines: 2 };
        for (of, place) in
            [(WordsOf::Tag(block), beside), (WordsOf::Ratings(block), beside), (WordsOf::Callout(run), along)]
        {
            apply(&mut cabin, Edit::SetWords(of, Some(place))).unwrap();
        }
        let text = write(&cabin).unwrap();
        assert!(text.contains("of: callout(\"W4\")"), "{text}");
        assert_eq!(read(&text).unwrap(), cabin);
        // The word of a block that is not there.
        let wrong = text.replace("of: ratings(\"C1\")", "of: ratings(\"C9\")");
        let Err(ReadError::Faults(faults)) = read(&wrong) else { panic!("a fault was not told") };
        assert_eq!(faults.len(), 1);
        assert!(faults[0].found.contains("C9"), "{:?}", faults[0]);
        let wrong = text.replace("along: 250", "along: 2500");
        assert!(matches!(read(&wrong), Err(ReadError::Faults(faults)) if faults[0].found.contains("2500")));
    }

    #[test]
    fn words_go_with_their_block_and_come_back_with_it() {
        let mut cabin = cabin();
        let block = cabin.circuit.block_by_tag("C1").unwrap().id;
        let place = Some(WordsPlace { right: 120, down: -35, ..WordsPlace::default() });
        let back = apply(&mut cabin, Edit::SetWords(WordsOf::Tag(block), place)).unwrap();
        assert_eq!(back, Edit::SetWords(WordsOf::Tag(block), None));
        let before = cabin.clone();
        let edit = remove_block_with_runs(&cabin.circuit, block);
        let undo = apply(&mut cabin, edit).unwrap();
        assert!(cabin.moved_words.is_empty());
        apply(&mut cabin, undo).unwrap();
        assert_eq!(cabin, before);
        let nowhere = Edit::SetWords(WordsOf::Tag(BlockId::new(9_999).unwrap()), place);
        assert!(apply(&mut cabin, nowhere).is_err());
        let five = WordsPlace { lines: 5, ..WordsPlace::default() };
        assert!(apply(&mut cabin, Edit::SetWords(WordsOf::Tag(block), Some(five))).is_err());
        assert_eq!(cabin, before);
    }
}
