//! Questions with words that can mean several things: told is what each of the meanings would be.

use super::{Knowledge, Reply, with_known};
use crate::answer::compare;
use crate::contract::Detail;
use crate::diagnostic::Problems;
use crate::model::Wish;
use crate::question::{Question, by_colour, resolve_order, side_by_side, untangle};
use crate::source::SourceFile;
use crate::statement::Stated;

/// More meanings than these are not told beside each other.
const MOST: usize = 8;

/// What is wrong with a question under a meaning that is not meant.
const NOT_MEANT: [&str; 2] = ["question::no-ink", "job::said-twice"];

/// A job as it is when every word of it has one meaning.
struct Reading {
    /// The meanings that were taken, in the order of their places.
    taken: Vec<String>,
    stated: Stated,
    notes: Vec<String>,
}

impl Knowledge {
    /// What each meaning of a question would be, for one that is refused with these problems. Nothing where anything else is
    /// wrong with it, or it is no question about one job.
    pub(super) fn each_reading(
        &self,
        text: &str,
        problems: &Problems,
        (known, wishes): (&Stated, &[&Wish]),
    ) -> Option<Reply> {
        let mut places = Vec::new();
        let mut readings = self.readings(text, problems, &mut places)?;
        let alone = if readings.len() == 1 { readings.pop() } else { None };
        let mut notes: Vec<String> = match &alone {
            Some(only) => {
                places.iter().zip(&only.taken).map(|(w, t)| format!("`{}` was taken as `{t}`", w.0)).collect()
            }
            None => {
                let told = |(words, more): &(String, String)| {
                    format!("`{words}` can mean several things: told is what each would be; {more}")
                };
                places.iter().map(told).collect()
            }
        };
        if let Some(only) = alone {
            notes.extend(only.notes);
            let answer = self.decide(&with_known(only.stated, known), Detail::Full);
            return Some(Reply::Answer(Box::new(answer)).noted(notes));
        }
        let mut jobs = Vec::new();
        for reading in readings {
            let name = reading.taken.join(", ");
            notes.extend(reading.notes.into_iter().filter(|n| !notes.contains(n)).collect::<Vec<_>>());
            jobs.push((name, with_known(reading.stated, known)));
        }
        Some(Reply::Ranking(compare(self.context(Detail::Full), &jobs, wishes)).noted(notes))
    }

    /// The jobs that a text may be about, and the words of it that can mean several things.
    fn readings(&self, text: &str, problems: &Problems, places: &mut Vec<(String, String)>) -> Option<Vec<Reading>> {
        let problem = problems.list().first().filter(|_| problems.list().iter().all(|p| !p.readings.is_empty()))?;
        let (start, end) = (problem.span().start as usize, problem.span().end as usize);
        let (before, words, behind) = (text.get(..start)?, text.get(start..end)?.trim(), text.get(end..)?);
        let more = problem.help.clone().unwrap_or_default();
        if !places.iter().any(|p| p.0 == words) {
            places.push((words.to_owned(), more));
        }
        let mut all = Vec::new();
        for meant in &problem.readings {
            let text = format!("{before}{meant}{behind}");
            let of_it = match self.one_job(&text) {
                Ok(found) => vec![found?],
                // A meaning that leaves no ink, or is against what is said besides, is not meant.
                Err(more) if more.list().iter().all(|p| NOT_MEANT.contains(&p.code)) => Vec::new(),
                Err(more) => self.readings(&text, &more, places)?,
            };
            all.extend(of_it.into_iter().map(|mut reading| {
                reading.taken.insert(0, meant.clone());
                reading
            }));
            if all.len() > MOST {
                return None;
            }
        }
        Some(all).filter(|all| !all.is_empty())
    }

    /// The job that a text is about; nothing where it is about several, or how it is taken decides.
    fn one_job(&self, text: &str) -> Result<Option<Reading>, Problems> {
        let file = [SourceFile::new("question", text)];
        let (model, names) = (self.model(), self.names());
        let (order, notes) = match self.read(text).map_err(|p| Problems::new(vec![p], &file))? {
            Question::Can(order) | Question::HowTo(order)
                if by_colour(&order.stack, &["/", "&", "+"], model, names).len() <= 1 =>
            {
                (order, Vec::new())
            }
            Question::Loose(order) if side_by_side(&order, model, names).is_none() => {
                let found = untangle(order, model, names).map_err(|p| Problems::new(vec![p], &file))?;
                if found.other_way.is_some() {
                    return Ok(None);
                }
                (found.order, found.notes)
            }
            _ => return Ok(None),
        };
        let read = resolve_order(&order, model, names).map_err(|p| Problems::new(p, &file))?;
        let notes = notes.into_iter().chain(read.notes).collect();
        Ok(Some(Reading { taken: Vec::new(), stated: read.stated, notes }))
    }
}
