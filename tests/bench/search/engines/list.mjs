// The libraries, in the order of the table's columns.
export const LIBRARIES = ['minisearch', 'lunr', 'elasticlunr', 'flexsearch', 'orama'];
export const OURS = 'ours';
