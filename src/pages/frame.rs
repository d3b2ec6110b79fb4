//! The frame that every page has: head, find box, thumb tabs, trail, foot.

use std::collections::BTreeMap;
use std::sync::RwLock;

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
    /// `book` by folder.
    books: RwLock<BTreeMap<String, Value>>,
    /// Kinds with entries, the guide included.
    used: Vec<Kind>,
    /// Whether there are quizzes, which then have a tab.
    quizzes: bool,
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
        Ok(Self { handbook, theme, tera, scripts, books: RwLock::default(), used, quizzes: !extras.topics.is_empty() })
    }

    /// Fills a template; `context` holds what this page has beyond `book`, `page` and `tabs`.
    pub fn draw(&self, template: &str, sheet: &Sheet, mut context: Context) -> Result<String, ThemeProblem> {
        match self.book_value(sheet.address) {
            Some(book) => context.insert_value("book", book),
            None => context.insert("book", &self.book(sheet.address)),
        }
        context.insert("page", &self.head(sheet));
        context.insert("tabs", &self.tabs(sheet));
        self.tera.render(template, &context).map_err(|error| self.theme.explain(template, &error))
    }

    /// `book` for a page: the same for all pages of a folder, since links in it depend on no more than that.
    fn book_value(&self, here: &Address) -> Option<Value> {
        let folder = here.path().rsplit_once('/').map_or("", |(folder, _)| folder);
        if let Some(book) = self.books.read().ok()?.get(folder) {
            return Some(book.clone());
        }
        let book = Value::try_from_serializable(&self.book(here)).ok()?;
        self.books.write().ok()?.insert(folder.to_owned(), book.clone());
        Some(book)
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
    fn tabs(&self, sheet: &Sheet) -> Vec<TabView<'static>> {
        let here = sheet.address;
        let mut tabs: Vec<TabView> = Kind::ALL
            .into_iter()
            .filter(|kind| self.used.contains(kind))
            .map(|kind| TabView {
                key: kind.folder(),
                title: tab_word(kind),
                href: Address::list(kind).from(here),
                here: sheet.tab == Some(kind),
            })
            .collect();
        if self.quizzes {
            let list = Address::quizzes();
            let inside = sheet.trail.iter().any(|(_, address)| *address == list);
            let after = tabs.iter().position(|tab| tab.key == Kind::Guide.folder()).unwrap_or(tabs.len());
            tabs.insert(after, TabView { key: "quizzes", title: "Quizzes", href: list.from(here), here: inside || list == *here });
        }
        let index = Address::a_to_z();
        tabs.push(TabView { key: "a-z", title: "A–Z", href: index.from(here), here: index == *here });
        tabs
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
