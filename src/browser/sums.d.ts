/**
 * The shapes that sums.js works on. A calculator's script calls `bluecone.sum(id, tables, make)` with what it registers; the page
 * calls `bluecone.sums.work(id, labels, given)` with what it holds in words, and gets back what came out. Numbers are in SI base
 * units where nothing else is said.
 */

export type Value = number | boolean | string;
/** Values by name; reading a name that has none throws. */
export type Names = Record<string, any>;
/** `f`: fields and steps of the row that it belongs to, if it belongs to one. */
export type Work<T = Value> = (v: Names, f?: Names) => T;

/** What a calculator's script registers. */
export interface Sum {
  /** Of inputs that do not always count. */
  when?: Record<string, Work<boolean>>;
  /**
   * By name, in order. A list is an `if`: conditions and values in turn, and the last value; or first the name of a text, and
   * what it may be in the place of conditions.
   */
  steps: Record<string, Work | (Work | Value)[]>;
  /** The two sides that an unknown must make alike; the steps named as inputs work them out. */
  solve?: { left: Work<number>; right: Work<number> };
  /** By name: the parts of a list's rows. */
  lists?: Record<string, { when: Record<string, Work<boolean>>; steps: Record<string, Work | (Work | Value)[]> }>;
  /** Between the bands of a verdict, by its key; and what goes over rows inside a step's formula, one by one, by its key. */
  edges?: Record<string, (number | Work<number>)[]>;
  phases?: Phase[];
  /** Measures that are more than a step's value. */
  drawing?: Record<string, Work>;
}

/** How long it lasts; `between` is left out after the last repetition. */
export type Phase = Work<number> | { between: Work<number> } | { repeat: Work<number>; phases: Phase[] };

/** Offset, numerator and denominator: `(number + offset) * numerator / denominator` is the SI base value. */
export type Scale = number[];
export interface Unit {
  shown: string;
  code: string;
  scale: Scale;
  /** What the input takes in this unit, in words; empty for the unit of a step. */
  limits: string;
}

/** What the page holds for a calculator, in its order; `formula/labels.rs` gives the same. */
export interface Labels {
  inputs: InputLabel[];
  lists: ListLabel[];
  steps: StepLabel[];
  /** The key is the step's name, with a number from its second verdict on; `is`, for bands without edges: what each is for. */
  verdicts: { key: string; is: string[] }[];
  phases: PhaseLabel[];
  /** The step that gives a measure, or none where the script has a formula. */
  drawing: { name: string; of: string }[];
}
/** What goes over rows inside a step's formula; the key is the step's name, `+` and a number. */
export interface Made {
  key: string;
  unit: { shown: string; scale: Scale };
  /** Decimals shown; null for that many significant figures. */
  digits: number | null;
  figures: number;
}
export interface InputLabel {
  id: string;
  title: string;
  /** The main unit first; none for a choice. `from` and `to` are in it. */
  units: Unit[];
  from: number;
  to: number;
  whole: boolean;
  /** Id and title; none for a number. */
  choices: [id: string, title: string][];
}
/** `unit` is null for truths and texts, `digits` for three figures; `none`: why a pick has no value. */
export interface StepLabel {
  id: string;
  title: string;
  unit: Unit | null;
  digits: number | null;
  none: string | null;
  /** What the choices are called that the step hands on, by id. */
  titles: Record<string, string>;
}
/** `row`: what one row is called; `called`: the field that is added to a row's title, or empty. */
export interface ListLabel {
  id: string;
  title: string;
  row: string;
  called: string;
  least: number;
  most: number;
  inputs: InputLabel[];
  steps: StepLabel[];
}
export interface PhaseLabel {
  title: string;
  /** Positions of lanes. */
  on: number[];
}

/** `says`: the plain sentence why there is no value, empty if there is one; `idle`: since it has no part in the sum. */
export interface Attempt<T> {
  value: T | null;
  says: string;
  idle: boolean;
}

export interface WorkedInput {
  id: string;
  value: Value | null;
  says: string;
  shown: string;
  counts: boolean;
}

export interface WorkedStep extends Attempt<Value> {
  id: string;
  /** In the step's unit. */
  number: number | null;
  shown: string;
  /** Which line of the working holds: the branch of an `if`. */
  branch: number;
}

/** Seconds from the beginning. */
export interface Segment extends PhaseLabel {
  start: number;
  end: number;
}

export interface WorkedList {
  id: string;
  rows: { title: string; inputs: WorkedInput[]; steps: WorkedStep[] }[];
  /** What is wrong with the list as a whole; empty if nothing is. */
  says: string;
}

export interface Worked {
  inputs: WorkedInput[];
  lists: WorkedList[];
  steps: WorkedStep[];
  /** The value is the band's position. */
  verdicts: Attempt<number>[];
  timeline: Attempt<Segment[]> | null;
  /** Lengths in metres, or texts. */
  drawing: (Attempt<Value> & { name: string })[];
}

/** Text as typed, alone or with the code of the unit that is chosen beside. */
export type Typed = string | [text: string, unit: string];
/** Texts of all inputs, and of all fields of each row of a list. */
export type Given = Record<string, any>;
/** Throws the sentence if what was typed cannot be taken. */
export type Read = (input: InputLabel, typed: string, chosen?: string) => { value: Value; shown: string };
export type WorkSum = (id: string, labels: Labels, given: Given) => Worked;
/** `decimals`: just so many; without them at most `significant` figures (3). */
export type Format = (number: number, decimals?: number, significant?: number) => string;
export type Solved = (
  label: StepLabel,
  input: InputLabel,
  worked: WorkedInput,
  sides: { left: Work<number>; right: Work<number> },
  step: any,
  own: Own,
) => WorkedStep;
/** `beside`: the inputs beside the lists, the same objects if nothing changed in them. */
export type WorkLists = (labels: ListLabel[], lists: any, given: Given, own: Own, beside: WorkedInput[]) => WorkedList[];
/**
 * The values of a sum, or of a row: `v` to read them, `put` to set one, `memo` for what was worked under a label. A value knows
 * what read it and, when it changes, has that worked again; the rest stays the same object.
 */
export interface Own {
  v: Names;
  put: (label: { id: string; title: string }, value: any, idle?: boolean, says?: string) => void;
  memo: (label: object) => any;
}
export type LaySegments = (phases: Phase[], labels: PhaseLabel[], v: Names) => Segment[];
/** Cells as printed, column by column, with a scale where the unit is not an SI base unit; `order`: the column that rises, or none. */
export type AddTable = (
  id: string,
  order: string,
  columns: Record<string, (Value | null)[] | { scale: Scale; cells: (number | null)[] }>,
) => void;

export interface Bluecone {
  sum: (id: string, tables: string[], make: (kit: any, ...tables: any[]) => Sum) => void;
  table: AddTable;
  sums: {
    work: WorkSum;
    format: Format;
    has: (id: string) => boolean;
    /** What formulas call, and the tables; further files of the run-time add to them. */
    kit: Record<string, any>;
    tables: Record<string, any>;
  };
}
