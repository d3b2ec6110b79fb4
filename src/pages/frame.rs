//! The frame that every page has: head, find box, thumb tabs, trail, foot.

use std::collections::BTreeMap;
use std::sync::{PoisonError, RwLock};

use serde::Serialize;
use tera::{Context, Tera, Value};

use super::markdown::{self, Setting};
use super::{Address, Extras};
use crate::handbook::{Entry, Handbook, Kind, Name};
use crate::theme::{Theme, ThemeProblem};

/// The compiled theme together with the handbook whose pages it frames.
pub(super) struct Frame<'a> {
    pub handbook: &'a Handbook,
    theme: &'a Theme,
    tera: Tera,
    scripts: Vec<Address>,
    /// What is the same on many pages, by folder and the tab that leads here.
    shared: RwLock<BTreeMap<(String, &'static str), Shared>>,
    /// Kinds with entries, the guide included.
    used: Vec<Kind>,
    /// Whether there are quizzes, which then have a tab.
    quizzes: bool,
}

/// Keys of tabs that lead to no kind.
const QUIZZES: &str = "quizzes";
const A_TO_Z: &str = "a-z";

/// `book` and `tabs` in the templates.
#[derive(Clone)]
struct Shared {
    book: Value,
    tabs: Value,
}

/// What the frame needs to know about one page.
pub(super) struct Sheet<'a> {
    pub address: &'a Address,
    pub title: &'a str,
    pub description: &'a str,
    pub tab: Option<Kind>,
    pub trail: Vec<(&'a str, Address)>,
    pub scripts: &'a [Address],
}

/// `page` in the templates.
#[derive(Serialize)]
struct PageView<'a> {
    title: &'a str,
    description: &'a str,
    address: &'a str,
    /// Before a path from the site's root.
    root: String,
    home: bool,
    tab: &'a str,
    trail: Vec<LinkView<'a>>,
    scripts: Vec<String>,
    style: String,
    find: String,
    home_href: String,
    figures_href: String,
}

/// `book` in the templates.
#[derive(Serialize)]
struct BookView<'a> {
    title: &'a str,
    shop: &'a str,
    edition: &'a str,
    id: &'a str,
    language: &'a str,
    invented: bool,
    notice_html: String,
    caution_html: String,
}

#[derive(Serialize)]
struct LinkView<'a> {
    title: &'a str,
    href: String,
}

/// One of `tabs` in the templates.
#[derive(Serialize)]
struct TabView<'a> {
    key: &'a str,
    title: &'a str,
    href: String,
    here: bool,
}

impl<'a> Frame<'a> {
    /// Compiles the theme; `extras` may bring scripts that every page loads after the frame's own.
    ///
    /// # Errors
    /// What is wrong with the templates.
    pub fn new(handbook: &'a Handbook, theme: &'a Theme, extras: &Extras) -> Result<Self, Vec<ThemeProblem>> {
        let tera = theme.compile()?;
        let own = [Address::script("menu.js")];
        let scripts = own.into_iter().chain(extras.scripts.iter().cloned()).collect();
        let mut used: Vec<Kind> = handbook.entries().map(Entry::kind).collect();
        used.dedup();
        used.extend((!handbook.guide.is_empty()).then_some(Kind::Guide));
        Ok(Self { handbook, theme, tera, scripts, shared: RwLock::default(), used, quizzes: !extras.topics.is_empty() })
    }

    /// Fills a template; `context` holds what this page has beyond `book`, `page` and `tabs`.
    pub fn draw(&self, template: &str, sheet: &Sheet, mut context: Context) -> Result<String, ThemeProblem> {
        let shared = self.shared(sheet);
        context.insert_value("book", shared.book);
        context.insert_value("tabs", shared.tabs);
        context.insert("page", &self.head(sheet));
        self.tera.render(template, &context).map_err(|error| self.theme.explain(template, &error))
    }

    /// `book` and `tabs` for a page. Links in them depend on the page's folder and no more.
    fn shared(&self, sheet: &Sheet) -> Shared {
        let here = sheet.address;
        let folder = here.path().rsplit_once('/').map_or("", |(folder, _)| folder);
        let key = (folder.to_owned(), tab_of(sheet));
        if let Some(shared) = self.shared.read().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return shared.clone();
        }
        let shared = Shared { book: Value::from_serializable(&self.book(here)), tabs: Value::from_serializable(&self.tabs(here, key.1)) };
        self.shared.write().unwrap_or_else(PoisonError::into_inner).insert(key, shared.clone());
        shared
    }

    fn book(&self, here: &Address) -> BookView<'_> {
        let book = &self.handbook.book;
        let setting = |part| Setting { handbook: self.handbook, here, level: 2, part };
        BookView {
            title: &book.title,
            shop: &book.shop,
            edition: &book.edition,
            id: &book.book_id,
            language: if book.language.is_empty() { "en" } else { &book.language },
            invented: book.invented,
            notice_html: markdown::html(&book.notice.markdown, &setting("notice")),
            caution_html: markdown::html(&book.caution.markdown, &setting("caution")),
        }
    }

    fn head<'s>(&self, sheet: &'s Sheet) -> PageView<'s> {
        let here = sheet.address;
        let to = |address: &Address| address.from(here);
        PageView {
            title: sheet.title,
            description: sheet.description,
            address: here.path(),
            root: here.root(),
            home: *here == Address::home(),
            tab: sheet.tab.map_or("", Kind::folder),
            trail: sheet.trail.iter().map(|(title, address)| LinkView { title, href: to(address) }).collect(),
            scripts: self.scripts.iter().chain(sheet.scripts).map(to).collect(),
            style: to(&Address::style()),
            find: to(&Address::a_to_z()),
            home_href: to(&Address::home()),
            figures_href: to(&Address::figures()),
        }
    }

    /// Kinds with entries only, then the guide, then the A–Z.
    fn tabs(&self, here: &Address, key: &str) -> Vec<TabView<'static>> {
        let tab =
            |key_of: &'static str, title, address: Address| TabView { key: key_of, title, href: address.from(here), here: key == key_of };
        let mut tabs: Vec<TabView> = Kind::ALL
            .into_iter()
            .filter(|kind| self.used.contains(kind))
            .map(|kind| tab(kind.folder(), tab_word(kind), Address::list(kind)))
            .collect();
        if self.quizzes {
            let after = tabs.iter().position(|tab| tab.key == Kind::Guide.folder()).unwrap_or(tabs.len());
            tabs.insert(after, tab(QUIZZES, "Quizzes", Address::quizzes()));
        }
        tabs.push(tab(A_TO_Z, "A–Z", Address::a_to_z()));
        tabs
    }
}

/// The key of the tab that leads to a page; empty if none does.
fn tab_of(sheet: &Sheet) -> &'static str {
    if let Some(kind) = sheet.tab {
        return kind.folder();
    }
    let way: Vec<&Address> = sheet.trail.iter().map(|(_, address)| address).chain([sheet.address]).collect();
    if way.contains(&&Address::quizzes()) {
        QUIZZES
    } else if *sheet.address == Address::a_to_z() {
        A_TO_Z
    } else {
        ""
    }
}

/// Short enough for a tab at the edge of a phone.
fn tab_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Safety => "Safety",
        Kind::Guide => "Guide",
        _ => kind.words(),
    }
}

/// The trail of an entry's page: the list of its kind.
pub(super) fn trail(name: &Name) -> Vec<(&'static str, Address)> {
    vec![(name.kind.words(), Address::list(name.kind))]
}
