//! The postings of a range of stems as a row of bits, column by column.
//!
//! Each of four columns has a part for each stem, in their order. *Marks* of a row of items say how many are so, truncated binary,
//! and which, as a set ([`Bits::marks`]).
//! 1. **Documents**: a set below the number of documents.
//! 2. **Counts**: marks of the documents that have the stem in title, names or figures; among those, of the ones where that is not just
//!    once in the title, and for each of these the three counts, gamma. Then by how much each body count is above 0, or above 1 if the
//!    stem is in the body alone: marks of those above 0, among them of those above 1, and so on to 7; the rest beyond 8, gamma.
//! 3. **Forms**, if the stem has several: of the documents that have it once, marks for each form but the last, among those not marked
//!    before; of the others, marks for each form.
//! 4. **Places**: of the documents that have it in figures or body, marks of those with places; for each of these how many there are,
//!    less one, truncated below figures and body count, and their set below [`Index::lead`].

use super::bits::Bits;
use super::{Index, Posting};

/// From here on what a count is above the least is written out.
const LEVELS: u64 = 8;

/// What one stem has in each column.
pub(super) type Columns = [Bits; 4];

pub(super) fn columns(index: &Index, stem: u32) -> Columns {
    let postings = index.postings(stem);
    let mut columns = Columns::default();
    let documents: Vec<u64> = postings.iter().map(|posting| u64::from(posting.document)).collect();
    columns[0].set(&documents, index.cards.len() as u64);
    counts(&mut columns[1], postings);
    let forms = index.form_count(stem);
    if forms > 1 {
        self::forms(&mut columns[2], postings, forms);
    }
    let bodied: Vec<&Posting> = postings.iter().filter(|posting| placed(posting) > 0).collect();
    columns[3].marks(bodied.iter().map(|posting| !index.places(posting).is_empty()));
    for posting in bodied {
        let places: Vec<u64> = index.places(posting).iter().map(|&place| u64::from(place)).collect();
        if !places.is_empty() {
            columns[3].below(places.len() as u64 - 1, placed(posting));
            columns[3].set(&places, index.lead as u64);
        }
    }
    columns
}

fn placed(posting: &Posting) -> u64 {
    u64::from(posting.counts[2]) + u64::from(posting.counts[3])
}

fn counts(column: &mut Bits, postings: &[Posting]) {
    let named = |posting: &&Posting| posting.counts[..3] != [0; 3];
    column.marks(postings.iter().map(|posting| named(&posting)));
    let others: Vec<&[u32]> = postings.iter().filter(named).map(|posting| &posting.counts[..3]).collect();
    let usual = |counts: &&&[u32]| ***counts == [1, 0, 0];
    column.marks(others.iter().map(|counts| !usual(&counts)));
    others.iter().filter(|counts| !usual(counts)).copied().flatten().for_each(|&count| column.gamma(count.into()));
    let above = |posting: &Posting| u64::from(posting.counts[3]) - u64::from(!named(&posting));
    let mut left: Vec<u64> = postings.iter().map(above).collect();
    for level in 0..LEVELS {
        column.marks(left.iter().map(|&above| above > level));
        left.retain(|&above| above > level);
    }
    left.iter().for_each(|above| column.gamma(above - LEVELS));
}

fn forms(column: &mut Bits, postings: &[Posting], forms: usize) {
    let forms = forms.min(super::index::FORMS as usize);
    let (mut once, often): (Vec<u8>, Vec<u8>) = {
        let (once, often): (Vec<&Posting>, Vec<&Posting>) = postings.iter().partition(|posting| posting.counts.iter().sum::<u32>() == 1);
        let bits = |postings: Vec<&Posting>| postings.into_iter().map(|posting| posting.forms).collect();
        (bits(once), bits(often))
    };
    for form in 0..forms - 1 {
        column.marks(once.iter().map(|bits| bits >> form & 1 == 1));
        once.retain(|bits| bits >> form & 1 == 0);
    }
    for form in 0..forms {
        column.marks(often.iter().map(|bits| bits >> form & 1 == 1));
    }
}
