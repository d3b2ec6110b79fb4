/** What the press hands to the browser's scripts. Only for type checkers and readers; nothing of it is loaded. */

/** Topics by id; each `quiz/<topic>.js` adds one. */
declare var blueconeQuiz: { [topic: string]: QuizTopic };

interface QuizTopic {
  id: string;
  title: string;
  about: string;
  items: QuizItem[];
}

interface QuizItem {
  /** Stays the same as long as the entry and what is asked of it do. */
  id: string;
  /** The entry that teaches it; `path` is from the site's root. */
  entry: { title: string; path: string };
  /** At least one wording; one is drawn each time. */
  asked: QuizVariant[];
}

type QuizVariant = QuizChoice | QuizOrder | QuizNumber;

interface QuizChoice {
  kind: "choice";
  question: string;
  options: string[];
  /** Position of the right option. */
  right: number;
  /** Shown after the answer. */
  why: string;
}

interface QuizOrder {
  kind: "order";
  question: string;
  /** In the right order. */
  steps: string[];
  why: string;
}

interface QuizNumber {
  kind: "number";
  question: string;
  /** Empty for plain numbers. */
  unit: string;
  value: number;
  /** Right if not farther off than this. */
  within: number;
  /** The value as it is written. */
  worked: string;
  why: string;
}

/** What the browser keeps. */
interface QuizRecord {
  /** Best result by topics. */
  best: { [topics: string]: { right: number; of: number } };
  /** Items seen by id: how often, and whether the last answer was right. */
  seen: { [item: string]: { times: number; right: boolean } };
}
