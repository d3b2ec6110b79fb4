// The libraries, in the order of the table's columns.
export const LIBRARIES = ['minisearch', 'lunr', 'elasticlunr', 'flexsearch', 'orama'];
export const OURS = 'ours';
/** A page that searches nothing and shows its twenty links at once: what any page takes. */
export const NOTHING = 'empty-page';
