//! An answer that cannot be written, of something that is done: what is done is said on standard error
//! instead, so that nobody does it again, and the command has done what was asked.

use crate::app::output::hint;
use crate::env::Env;
use crate::error::Error;
use crate::report::Report;
use std::io::ErrorKind;

/// Passes an error on, unless it is only that the answer to something done could not be written.
pub(super) fn or_tell_it_is_done(answered: Result<(), Error>, report: &Report, env: &mut Env) -> Result<(), Error> {
    match (answered, done(report)) {
        // A reader that went away has what it wanted.
        (Err(Error::Output(source)), Some(_)) if source.kind() == ErrorKind::BrokenPipe => Ok(()),
        (Err(Error::Output(source)), Some(done)) => {
            hint(env, &format!("warning: the answer could not be written ({source})"));
            hint(env, &format!("note: it is done all the same: {done}"));
            Ok(())
        }
        (answered, _) => answered,
    }
}

/// What was done and stays done, in words; nothing where it was only looked at or tried.
fn done(report: &Report) -> Option<String> {
    let entry = match report {
        Report::Recorded(recorded) => recorded.kept_entry(),
        Report::Closed(closed) => closed.kept_entry(),
        Report::Forgotten(forgotten) => forgotten.kept_entry(),
        Report::Copied(copied) => return Some(copied.said().to_owned()),
        _ => None,
    };
    entry.map(|entry| format!("entry {entry} is in the book. Do not record it again; `runabout log` shows it"))
}
