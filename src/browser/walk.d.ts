/** What the press hands to the walk's scripts. Only for type checkers and readers; nothing of it is loaded. */

/** By symptom; each `walk/symptoms/<symptom>.js` adds one. */
declare var blueconeWalks: { [symptom: string]: WalkData };

/** By check; each `walk/checks/<check>.js` adds one, and is loaded when the check comes up. */
declare var blueconeWalkChecks: { [check: string]: WalkBody };

/** A symptom's numbers. Checks, suspects, states and policy steps are named by their places in the lists here. */
interface WalkData {
  /** Changes with any number or id that the sums depend on. */
  made: string;
  book: string;
  edition: string;
  /** The symptom's title. */
  symptom: string;
  /** A fault is named once its chance is at least this. */
  certainty: number;
  /** The state in which the appliance is found. */
  start: number;
  /** Minutes from each state to each. */
  moves: number[][];
  /** Isolated, powered, gas on, firing. */
  states: { name: string; short: string; detail: string }[];
  /** How to come from one state to another: from, to, words. */
  ways: [number, number, string][];
  suspects: WalkSuspect[];
  checks: WalkCheck[];
  /** The computed policy's steps; the first begins it. */
  policy: WalkNode[];
}

interface WalkLink {
  title: string;
  href: string;
}

interface WalkSuspect extends WalkLink {
  id: string;
  /** 0 to 1, all together 1. */
  chance: number;
  proof: WalkLink | null;
  task: WalkLink | null;
  /** Tests that end the task. */
  closing: WalkLink[];
}

interface WalkCheck extends WalkLink {
  id: string;
  state: number;
  minutes: number;
  /** Checks that come before it. */
  after: number[];
  /** States that erase what it reads. */
  erased: number[];
  /** Whether it only makes the work safe; then the first outcome lets the work go on. */
  guard: boolean;
  /** Whether it can never be done. */
  never: boolean;
  /** Tests that end the work. */
  closing: WalkLink[];
  outcomes: WalkOutcome[];
}

interface WalkOutcome {
  id: string;
  /** What is seen, or the band's label. */
  seen: string;
  /** Chance under each suspect, 0 to 1. */
  likely: number[];
  /** For an outcome that no suspect gives: where it points instead. */
  elsewhere?: WalkLink[];
}

interface WalkNode {
  check: number;
  /** Minutes to be expected from here to the end. */
  left: number;
  /** The next step for every outcome alike, or for each; -1 where the policy ends. */
  next: number | number[];
}

/** What to do at a check. Texts that end in markup come from the press, which lets no tag of an author's through. */
interface WalkBody {
  summary: string;
  tools: string[];
  touches: string[];
  hazards: WalkHazard[];
  /** Markup. */
  steps: string[];
  /** What each outcome means; markup. */
  means: string[];
  /** The band of each outcome, if it is one. */
  bands: (string | null)[];
  /** The check's measurement, and the same on another kind of part or gas. */
  gauges: WalkGauge[];
  /** Calculators that help. */
  sums: WalkLink[];
}

interface WalkHazard {
  signal: "danger" | "warning" | "caution" | "notice";
  word: string;
  alert: boolean;
  title: string;
  href: string;
  /** The note in one sentence. */
  summary: string;
  /** Markup. */
  hazard: string;
  /** Markup. */
  controls: string[];
}

interface WalkGauge extends WalkLink {
  id: string;
  unit: string;
  /** Markup. */
  svg: string;
  bands: { id: string; from: number; to: number; above: boolean; range: string; label: string; severity: string; severity_words: string }[];
}

interface WalkEvent {
  kind: "found" | "later" | "odd" | "again" | "not" | "maybe";
  /** -1 where it is about a suspect. */
  check: number;
  /** -1 unless found. */
  outcome: number;
  /** -1 where it is about a check. */
  suspect: number;
}

/** A history taken event by event. */
interface WalkStanding {
  weights: number[];
  whole: number;
  done: Set<number>;
  /** Guards that still hold. */
  fresh: Set<number>;
  state: number;
  /** Checks left without an answer, and whether their reading was odd. */
  aside: Map<number, boolean>;
  /** Checks whose reading was erased. */
  lost: Set<number>;
  denied: { suspect: number; event: number }[];
  answers: { check: number; outcome: number; event: number }[];
  /** The check that was asked for, or -1. */
  wanted: number;
  /** The policy's step, or -1. */
  node: number;
  minutes: number;
  noted: { about: string; event: number }[];
  after: number[][];
  before: Set<number>[];
  holds: number[][];
}

interface WalkOdds {
  suspect: number;
  chance: number;
}

/** Where a walk stands. */
interface WalkLook {
  /** Likeliest first. */
  odds: WalkOdds[];
  state: number;
  minutes: number;
  planned: boolean;
  aside: { check: number; odd: boolean; open: boolean }[];
  lost: number[];
  answers: { check: number; outcome: number; event: number }[];
  /** Places in the history of what a note names. */
  noted: number[];
  next: WalkNext;
}

type WalkNext =
  | WalkStep
  | { kind: "named"; suspect: number; chance: number; others: WalkOdds[] }
  | { kind: "open"; odds: WalkOdds[]; ifDone: number[] }
  | { kind: "contradiction"; events: number[] };

interface WalkStep {
  kind: "do";
  check: number;
  /** The check for whose sake it is done. */
  toward: number;
  from: number;
  /** Minutes of the change of state. */
  change: number;
  minutes: number;
  wayMinutes: number;
  bits: number;
  ends: number;
  reason: "planned" | "chosen" | "asked";
  left: number;
}

/** A reading by check id: the number as typed, its unit and what was measured. */
interface WalkReadings {
  [check: string]: { value: string; unit: string; of: string };
}

/** What the browser keeps of a walk. */
interface WalkKept {
  made: string;
  events: string[];
  readings: WalkReadings;
  /** The measurement chosen last, by the first one of the check. */
  chosen: { [measurement: string]: string };
}
