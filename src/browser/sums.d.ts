/** The shapes that sums.js works on: what a calculator's script registers, and what a page gets back. Numbers are in SI base units. */

export type Unit = [shown: string, code: string, offset: number, numerator: number, denominator: number];
export type Value = number | boolean | string;
/** Values by name; reading a name that has none throws. */
export type Names = Record<string, any>;
/** Words, and places of inputs and steps whose shown values stand between them. */
export type Line = (string | number)[];

export interface Input {
  id: string;
  title: string;
  when?: (v: Names) => boolean;
  /** A number: the main unit first; `from`, `to`, `start` are in it. */
  units?: Unit[];
  from?: number;
  to?: number;
  whole?: boolean;
  /** A text: id and title of each choice; `start` is a position. */
  choices?: [id: string, title: string][];
  start: number;
}

export interface Step {
  id: string;
  title: string;
  /** Left out for plain numbers, truths and texts. */
  unit?: Unit;
  digits?: number;
  work: (v: Names) => Value;
  line: (v: Names) => Line;
}

export interface Verdict {
  on: string;
  edges?: ((v: Names) => number)[];
  is?: Value[];
}

export type Phase =
  | { title: string; lasts: (v: Names) => number; on: number[]; between?: boolean }
  | { repeat: (v: Names) => number; phases: Phase[] };

export interface Sum {
  inputs: Input[];
  steps: Step[];
  verdicts: Verdict[];
  phases?: Phase[];
  drawing?: Record<string, (v: Names) => Value>;
}

/** `says`: the plain sentence why there is no value; empty if there is one. */
export interface Attempt<T> {
  value: T | null;
  says: string;
}

export interface WorkedInput extends Attempt<Value> {
  id: string;
  shown: string;
  counts: boolean;
}

export interface WorkedStep extends Attempt<Value> {
  id: string;
  /** In the step's unit. */
  number: number | null;
  shown: string;
  /** The formula with the values in it. */
  numbers: string;
}

/** Seconds from the beginning; `on` are positions of lanes. */
export interface Segment {
  title: string;
  start: number;
  end: number;
  on: number[];
}

export interface Worked {
  inputs: WorkedInput[];
  steps: WorkedStep[];
  /** The value is the band's position. */
  verdicts: (Attempt<number> & { on: string })[];
  timeline: Attempt<Segment[]> | null;
  /** Lengths in metres, or texts. */
  drawing: (Attempt<Value> & { name: string })[];
}

/** Texts as typed, alone or with the code of the unit that is chosen beside; what is not given keeps its start. */
export type Given = Record<string, string | [text: string, unit: string]>;
/** Throws the sentence if what was typed cannot be taken. */
export type Read = (input: Input, typed: string, chosen?: string) => { value: Value; shown: string };
export type Work = (id: string, given: Given) => Worked;
/** `decimals`: just so many; without them at most `significant` figures (3). */
export type Format = (number: number, decimals?: number, significant?: number) => string;

export interface Bluecone {
  sum: (id: string, make: (kit: any) => Sum) => void;
  sums: {
    work: Work;
    format: Format;
    has: (id: string) => boolean;
  };
}
