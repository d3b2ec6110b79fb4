//! Pages of the authors' guide.

use super::desk::{Desk, PROBLEMS_PAGE};
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::GuidePage;
use crate::manuscript;

pub fn guide(page: &manuscript::GuidePage, desk: &mut Desk) -> GuidePage {
    desk.begin_page();
    if page.id.value == PROBLEMS_PAGE {
        let message = format!("the id `{PROBLEMS_PAGE}` belongs to the page of codes, which every guide gets");
        desk.add(Diagnostic::new(Code::DuplicateId, page.title.span, message).hint("give the file another name"));
    }
    GuidePage { id: page.id.value.clone(), title: page.title.value.clone(), text: desk.markdown(&page.body) }
}
