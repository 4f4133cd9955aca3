//! What is wrong with the lesson, as lines of a list.

use crate::lesson::check::{Finding, is_a_choice, mended_by};
use crate::lesson::document::Lesson;
use crate::workbench::boxes::list::ListLine;

/// Returns a finding as a line that points at its place, and says what would be done where it can be mended, or that one
/// of several ways can be chosen.
pub(super) fn problem(lesson: &Lesson, finding: &Finding) -> ListLine {
    let mended = mended_by(lesson, finding);
    let to_choose = mended.is_none() && is_a_choice(finding);
    ListLine {
        head: finding.severity.to_string(),
        text: format!("{}: {}", finding.place.text(lesson), finding.reason),
        below: match &mended {
            None if to_choose => format!("{}; choose the fix here", finding.remedy),
            None => finding.remedy.clone(),
            // One thing is not said twice.
            Some(mended) if finding.remedy == *mended => format!("{mended}; can be fixed here"),
            Some(mended) if finding.remedy.starts_with(mended) => {
                format!("{}; can be fixed here in the first way", finding.remedy)
            }
            Some(mended) => format!("{}; can be fixed here: {mended}", finding.remedy),
        },
        place: Some(finding.place),
        also: finding.also.clone(),
        mendable: (mended.is_some() || to_choose).then(|| finding.clone()),
    }
}
