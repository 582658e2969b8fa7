//! `paper`: dated documents of the business.

use crate::cli::paper::{PaperAction, PaperArgs};
use crate::commands::recording::{Said, record};
use crate::commands::{Context, lookup};
use crate::domain::book::dated_facts::Paper;
use crate::domain::days::day::long;
use crate::domain::law::trade_licence::may_end_on;
use crate::domain::refusal::Refusal;
use crate::domain::value::count::DaysAhead;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::report::yard::papers::PapersReport;
use crate::store::{Book, Reader};
use chrono::NaiveDate;

pub fn run(args: &PaperArgs, book: &mut Book, context: &Context) -> Result<Report, Error> {
    let recorded = match args.action.as_ref().unwrap_or(&PaperAction::List) {
        PaperAction::List => return Ok(PapersReport::new(context.today, &book.read().papers()?).into()),
        PaperAction::Add { name, until, remind, trying } => {
            let until = until.resolve(context.today)?;
            record(book, context, "paper", trying.dry_run, |recording| {
                if recording.read().papers()?.iter().any(|paper| named(paper, name)) {
                    return Err(Refusal::NameTaken { what: "paper", name: name.to_string() }.into());
                }
                recording.add_paper(name.as_str(), until, remind.map(DaysAhead::days))?;
                let mut said = Said::new(format!("paper '{name}' runs to {}", long(until)), []);
                said.notes.extend(licence_note(name, until));
                Ok(said)
            })?
        }
        PaperAction::Renew { name, until, trying } => {
            let until = until.resolve(context.today)?;
            record(book, context, "paper", trying.dry_run, |recording| {
                let paper = find(recording.read(), name)?;
                recording.renew_paper(paper.paper_no, until)?;
                let mut said = Said::new(
                    format!("paper '{}' now runs to {}, was {}", paper.name, long(until), long(paper.until)),
                    [],
                );
                said.notes.extend(licence_note(name, until));
                Ok(said)
            })?
        }
        PaperAction::Remove { name, trying } => record(book, context, "paper", trying.dry_run, |recording| {
            let paper = find(recording.read(), name)?;
            recording.remove_paper(paper.paper_no)?;
            Ok(Said::new(format!("paper '{}' is off the list", paper.name), []))
        })?,
    };
    Ok(recorded.into())
}

fn licence_note(name: &Wording, until: NaiveDate) -> Option<String> {
    let licence = name.as_str().to_lowercase().contains("licence");
    (licence && !may_end_on(until)).then(|| {
        format!("a trade licence ends on 30 June or 31 December, not {}; check it if that is what this is", long(until))
    })
}

fn named(paper: &Paper, name: &Wording) -> bool {
    paper.name.to_lowercase() == name.as_str().to_lowercase()
}

fn find(reader: Reader<'_>, name: &Wording) -> Result<Paper, Error> {
    let papers = reader.papers()?;
    let known: Vec<String> = papers.iter().map(|paper| paper.name.clone()).collect();
    papers
        .into_iter()
        .find(|paper| named(paper, name))
        .ok_or_else(|| lookup::name_unknown("paper", name.as_str(), known).into())
}
