// What the search scripts share. Classic scripts, so their types are global.
declare var blueconeSearch: {
  split(text: string): Token[];
  take(name: string, sum: number, numbers: string, text: string): void;
  openIndex(): SearchIndex | null;
  rangeOf(list: Part[], at: number): Part | undefined;
  fill(range: Part): boolean;
  postingsOf(index: SearchIndex, stem: number): Postings | null;
  summaryOf(index: SearchIndex, document: number): string | null;
  plan(index: SearchIndex, query: string): Plan;
  needed(index: SearchIndex, plan: Plan): Set<Part>;
  nearest(index: SearchIndex, plan: Plan, count: number): string[][];
  marks(index: SearchIndex, plan: Plan, text: string): Token[];
  distance(a: string, b: string, limit: number): number;
  rank(index: SearchIndex, plan: Plan): Ranked[];
};
