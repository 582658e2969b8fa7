//! What must hold after a command that writes was killed, or its disk failed, whichever command it is: held
//! against what stands before it, after it, and after it was typed twice.

use crate::failing::{Ended, Place};
use crate::stands::Stands;
use crate::writing::Writing;
use crate::yards::Seed;
use std::fs;

/// A command, and what stands when nothing goes wrong.
#[derive(Debug)]
pub struct Trial {
    pub writing: &'static Writing,
    before: Stands,
    once: Stands,
    /// Typed a second time: how it ends, and what stands then.
    again: Option<i32>,
    twice: Stands,
}

/// How far a command came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Came {
    /// What it is there to write is as it was.
    Nowhere,
    /// It is written.
    Through,
}

/// What was found.
#[derive(Debug)]
pub struct Found {
    pub came: Came,
    /// Not whole, or not what was said.
    pub half: Vec<String>,
    /// What the next try could not put right.
    pub blocked: Vec<String>,
}

impl Trial {
    pub fn of(writing: &'static Writing) -> Self {
        let words = writing.words();
        let place = Place::with(writing.seed.yard());
        let before = Stands::in_place(&place);
        let first = place.run(&words);
        assert_eq!(first.code, Some(0), "`{}`: {first:?}", writing.line);
        assert!(first.acknowledged, "`{}` does not say it is done", writing.line);
        let well = |place: &Place| {
            let (stands, wrong) = look(place, writing.seed);
            assert!(wrong.is_empty(), "`{}`: {wrong:?}", writing.line);
            stands
        };
        let once = well(&place);
        assert!(!before.under(writing.writes).eq(once.under(writing.writes)), "`{}` writes nothing", writing.line);
        let again = place.run(&words);
        assert!(again.code == Some(0) || again.err.starts_with("error: "), "`{}`: {again:?}", writing.line);
        Self { writing, before, once, again: again.code, twice: well(&place) }
    }

    /// Holds a place where the command ended against what must be. Something half done may lie about under a
    /// name of the program's own until the next try, where `may_leave` says so.
    pub fn hold(&self, place: &Place, ended: &Ended, may_leave: bool) -> Found {
        let (stands, mut half) = look(&place.copy(), self.writing.seed);
        let came = self.came(&stands, &mut half);
        if ended.acknowledged {
            let not_done = stands.differences(&self.once, |name| self.before.has(name) || self.once.has(name));
            half.extend(not_done.into_iter().map(|line| format!("said to be done: {line}")));
        }
        if !may_leave {
            half.extend(self.left_over(&stands).map(|name| format!("left behind: {name}")));
        }
        Found { came, half, blocked: self.try_again(place, came) }
    }

    fn came(&self, stands: &Stands, half: &mut Vec<String>) -> Came {
        let writes = self.writing.writes;
        let came = if stands.under(writes).eq(self.once.under(writes)) { Came::Through } else { Came::Nowhere };
        let is_away = writes.ends_with('/') && stands.under(writes).next().is_none();
        let is_half = came == Came::Nowhere && !is_away && !stands.under(writes).eq(self.before.under(writes));
        if is_half && !self.writing.file_by_file {
            half.push(format!("{writes} is neither as it was nor as it should be"));
        }
        for name in self.before.names().chain(self.once.names()) {
            let (old, new) = (stands.same(&self.before, name), stands.same(&self.once, name));
            let may_follow = !self.writing.follows.is_empty() && name.starts_with(self.writing.follows);
            let is_of_it = is_away && name.starts_with(writes);
            if !new && !is_of_it && (!old || (came == Came::Through && !may_follow)) {
                half.push(format!("{name} is not whole"));
            }
        }
        half.extend(self.left_over(stands).filter(|name| !is_ours(name)).map(|name| format!("what is {name}?")));
        half.dedup();
        came
    }

    fn left_over<'s>(&'s self, stands: &'s Stands) -> impl Iterator<Item = &'s str> {
        stands.names().filter(|name| !self.before.has(name) && !self.once.has(name))
    }

    /// The very same command once more: it does what is not done, or says of what is done what it always says.
    fn try_again(&self, place: &Place, came: Came) -> Vec<String> {
        let ended = place.run(&self.writing.words());
        let (code, wanted) = match came {
            Came::Nowhere => (Some(0), &self.once),
            Came::Through => (self.again, &self.twice),
        };
        let mut blocked = Vec::new();
        if ended.code != code {
            blocked.push(format!("{:?} instead of {code:?}: {}", ended.code, ended.err.trim_end()));
        }
        // `verify` finds all well where this stands.
        let stands = Stands::in_place(place);
        // Refused, because it is done already, it need not tidy up.
        let counts = |name: &str| ended.code == Some(0) || self.before.has(name) || self.once.has(name);
        blocked.extend(stands.differences(wanted, counts));
        if let Some(name) = self.writing.wipes
            && fs::read(place.book()).unwrap().windows(name.len()).any(|bytes| bytes == name.as_bytes())
        {
            blocked.push(format!("'{name}' is still in the file"));
        }
        blocked
    }
}

/// What stands, and whether all is well with the book. The program looks first: it is what has to play a
/// journal back.
fn look(place: &Place, seed: Seed) -> (Stands, Vec<String>) {
    let verified = place.run(&["verify".to_owned()]);
    let no_book = seed == Seed::NoBook && verified.err.contains("there is no book");
    let wrong = (verified.code != Some(0) && !no_book).then(|| format!("verify: {verified:?}"));
    (Stands::in_place(place), wrong.into_iter().collect())
}

/// Whether a name can be seen to be one that the program, or SQLite, gave something it had not finished.
fn is_ours(name: &str) -> bool {
    name.contains("part") || name.ends_with("-journal")
}
