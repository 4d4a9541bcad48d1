// What page and core say to each other. Made from the core's own tables of fields:
//   build/dev/contract > app/page/src/model/contract.ts
// A test fails where this file and those tables differ.

export interface Paragraph {
  text: string;
}

export interface Caution {
  text: string;
}

export interface Grid {
  title: string;
  heads: string[];
  units: string[];
  rows: string[][];
  to_fill: boolean;
}

export interface DrawnPlot {
  title: string;
  svg: string;
  values: Grid;
  x_mm: number[];
  wide_mm: number;
  high_mm: number;
  top_mm: number;
  bottom_mm: number;
}

export interface Drawing {
  title: string;
  text: string;
  svg: string;
  own_page: boolean;
  letter: boolean;
}

export interface Step {
  id: string;
  what: string;
  mark: string;
  torque: string;
  done_by: string;
  checked_by: string;
  done: boolean;
  second_person: boolean;
}

export interface Checklist {
  title: string;
  gate: string;
  steps: Step[];
}

export interface Part {
  what: string;
  made_of: string;
  state: string;
  key: string;
}

export interface PartsList {
  title: string;
  parts: Part[];
}

export interface FaultSeen {
  line: number;
  what: string;
  text: string;
  field: number;
}

export interface ValueCell {
  path: string;
  shown: string;
}

export interface ValueRow {
  label: string;
  line: number;
  cells: ValueCell[];
}

export interface ValueGroup {
  title: string;
  list: string;
  rows: ValueRow[];
}

export interface PageSection {
  name: string;
  question: string;
  answer: string;
  blocks: (({ kind: 'paragraph' } & Paragraph) | ({ kind: 'caution' } & Caution) | ({ kind: 'grid' } & Grid) | ({ kind: 'plot' } & DrawnPlot) | ({ kind: 'drawing' } & Drawing) | ({ kind: 'checklist' } & Checklist) | ({ kind: 'parts' } & PartsList))[];
  working: (({ kind: 'paragraph' } & Paragraph) | ({ kind: 'caution' } & Caution) | ({ kind: 'grid' } & Grid) | ({ kind: 'plot' } & DrawnPlot) | ({ kind: 'drawing' } & Drawing) | ({ kind: 'checklist' } & Checklist) | ({ kind: 'parts' } & PartsList))[];
}

export interface BenchSize {
  size_mm: number;
  shown: string;
}

export interface BenchRange {
  axis: string;
  way: string;
  low_mm: number;
  high_mm: number;
  low: string;
  high: string;
}

export interface BenchChoice {
  option: string;
  sizes: BenchSize[];
  ranges: BenchRange[];
}

export interface PickOfSide {
  size_mm: number;
  by_mm: number[];
}

export interface Pick {
  option: string;
  size_mm: number;
  by_mm: number[];
  right?: PickOfSide;
}

export interface Tried {
  axle: string;
  sentence: string;
  stop: string;
  good: boolean;
  figures: Grid;
  plots: DrawnPlot[];
  picks: Pick[];
  hole: number[][];
}

export interface BenchAxle {
  axle: string;
  chosen: boolean;
  why: string;
  choices: BenchChoice[];
  tried?: Tried;
}

export interface Looked {
  faults: FaultSeen[];
  why: string;
  name: string;
  demo: boolean;
  values: ValueGroup[];
  sections: PageSection[];
  bench: BenchAxle[];
}

export interface AxleSet {
  axle: string;
  picks: Pick[];
}

export interface Look {
  text: string;
  inch: boolean;
  sets: AxleSet[];
  hurry: boolean;
}

export interface RankedSet {
  words: string;
  verdict: string;
  chance: string;
  picks: Pick[];
}

export interface BenchMap {
  axle: string;
  option: string;
  side: string;
  title: string;
  text: string;
  caution: string;
  svg: string;
  wide_mm: number;
  high_mm: number;
  room: number[];
}

export interface RankedAxle {
  axle: string;
  set: AxleSet;
  best: RankedSet[];
  maps: BenchMap[];
  rule: string;
  next: string;
}

export interface Ranked {
  why: string;
  sections: PageSection[];
  axles: RankedAxle[];
}

export interface Rank {
  text: string;
  inch: boolean;
}

export interface Try {
  text: string;
  inch: boolean;
  set: AxleSet;
  moved: string;
  side: string;
  hole: number[][];
  hurry: boolean;
}

export interface Changed {
  text: string;
  faults: FaultSeen[];
}

export interface Change {
  text: string;
  path: string;
  typed: string;
}

export interface Choose {
  text: string;
  set: AxleSet;
  none: boolean;
}

export interface Note {
  text: string;
  step: string;
  part: string;
  words: string;
  key: string;
  typed: string;
}

export interface CardListed {
  number: string;
  what: string;
  taken: number;
  doubted: boolean;
}

export interface StationListed {
  name: string;
  intro: string;
  caution: string;
  cards: CardListed[];
}

export interface RunListed {
  name: string;
  axle: string;
  side: string;
  rows: number;
  with_parts: boolean;
}

export interface JointListed {
  path: string;
  words: string;
}

export interface KnownSoFar {
  axle: string;
  sentence: string;
  next: string;
  card: string;
  gauge: string;
}

export interface MisreadShown {
  words: string;
  card: string;
}

export interface RoundShown {
  why: string;
  stations: StationListed[];
  runs: RunListed[];
  corners: string[];
  joints: JointListed[];
  known: KnownSoFar[];
  misread: MisreadShown[];
}

export interface ShowRound {
  text: string;
  inch: boolean;
  known: boolean;
}

export interface FieldShown {
  key: string;
  label: string;
  quantity: string;
  needed: boolean;
}

export interface TakenShown {
  name: string;
  shown: string;
  doubt: string;
  set_aside: boolean;
  removable: boolean;
}

export interface CardShown {
  why: string;
  number: string;
  station: string;
  caution: string;
  what: string;
  how: string;
  care: string;
  drawing: Drawing;
  fields: FieldShown[];
  sigma: string;
  taken: TakenShown[];
}

export interface ShowCard {
  text: string;
  inch: boolean;
  number: string;
  reading: string;
  from: string;
  to: string;
}

export interface CardEntered {
  text: string;
  faults: FaultSeen[];
  asks: string[];
}

export interface EnterCard {
  text: string;
  inch: boolean;
  number: string;
  reading: string;
  from: string;
  to: string;
  values: string[];
  sigma: string;
  sure: boolean;
}

export interface SetAside {
  text: string;
  name: string;
  aside: boolean;
}

export interface GaugeShown {
  why: string;
  name: string;
  fitted: string;
  sentence: string;
  care: string;
  caution: string;
  next_mm: string;
  third_dial: boolean;
  rows: string[][];
  curve?: DrawnPlot;
}

export interface ShowGauge {
  text: string;
  inch: boolean;
  name: string;
  corner: string;
  with_parts: boolean;
  sets: AxleSet[];
  fresh: boolean;
}

export interface EnterGauge {
  text: string;
  name: string;
  corner: string;
  base: string;
  drop: string;
  travel: string;
  front: string;
  rear: string;
  low: string;
  with_parts: boolean;
  sets: AxleSet[];
}

export interface BlankShown {
  why: string;
  sections: PageSection[];
}

export interface ShowBlank {
  text: string;
  inch: boolean;
}

export interface StartChoice {
  id: string;
  headline: string;
  look: string;
  trade: string;
  refused: string;
  svg: string;
}

export interface StartValue {
  id: string;
  label: string;
  how: string;
  usual: string;
}

export interface StartQuestion {
  id: string;
  question: string;
  help: string;
  caution: string;
  needed: boolean;
  choices: StartChoice[];
  values: StartValue[];
}

export interface StartFault {
  question: string;
  what: string;
}

export interface StartSummary {
  what: string;
  answer: string;
}

export interface Started {
  questions: StartQuestion[];
  faults: StartFault[];
  left_out: string[];
  summary: StartSummary[];
  text: string;
  why: string;
}

export interface StartAnswer {
  question: string;
  answer: string;
}

export interface Start {
  answers: StartAnswer[];
}

export interface DriveControl {
  key: string;
  label: string;
  low: number;
  high: number;
  step: number;
  said: string;
}

export interface DrawnLine {
  axle: string;
  kind: string;
  places: number[][];
}

export interface DrawnWheel {
  axle: string;
  centre: number[];
  spin: number[];
  contact: number[];
  radius_mm: number;
  width_mm: number;
  rim_radius_mm: number;
}

export interface DrawnRollCentre {
  axle: string;
  at: number[];
}

export interface DrawnDoubt {
  joint: number;
  semi_axes: number[][];
}

export interface DrawnCar {
  name: string;
  stroke: string;
  words: string;
  joints: number[][];
  lines: DrawnLine[];
  wheels: DrawnWheel[];
  axes: DrawnLine[];
  roll_centres: DrawnRollCentre[];
  doubts: DrawnDoubt[];
}

export interface DrawnScene {
  why: string;
  controls: DriveControl[];
  cars: DrawnCar[];
  floor_x_mm: number[];
  floor_y_mm: number[];
  floor_step_mm: number;
  notes: string[];
}

export interface Draw {
  text: string;
  inch: boolean;
  sets: AxleSet[];
  travel_mm: number;
  rack_mm: number;
  roll_deg: number;
  built: boolean;
  corrected: boolean;
  axes: boolean;
  doubts: boolean;
}

export interface JointNumber {
  at: string;
  doubt: string;
  path: string;
  stands: string;
}

export interface JointRow {
  name: string;
  words: string;
  path: string;
  numbers: JointNumber[];
  nudges: boolean;
  note: string;
}

export interface JointTable {
  title: string;
  unit: string;
  rows: JointRow[];
}

export interface Joints {
  text: string;
  inch: boolean;
}

export interface Nudge {
  text: string;
  path: string;
  by_mm: number;
}

export interface PartDrawn {
  why: string;
  name: string;
  drawing: string;
  templates: string[];
  dxf: string;
}

export interface DrawPart {
  text: string;
  inch: boolean;
  option: string;
  right: boolean;
}

export interface FloorDayListed {
  when: string;
  fitted: boolean;
  driven: boolean;
}

export interface FloorRoundShown {
  why: string;
  stations: StationListed[];
  days: FloorDayListed[];
}

export interface ShowFloorRound {
  text: string;
  inch: boolean;
  when: string;
}

export interface ShowFloorCard {
  text: string;
  inch: boolean;
  number: string;
  when: string;
}

export interface EnterFloorCard {
  text: string;
  inch: boolean;
  number: string;
  when: string;
  fitted: boolean;
  driven: boolean;
  values: string[];
  sigma: string;
  sure: boolean;
}

export interface TurnAsPlanned {
  text: string;
}

export type PageBlock =
  ({ kind: 'paragraph' } & Paragraph) | ({ kind: 'caution' } & Caution) | ({ kind: 'grid' } & Grid) | ({ kind: 'plot' } & DrawnPlot) | ({ kind: 'drawing' } & Drawing) | ({ kind: 'checklist' } & Checklist) | ({ kind: 'parts' } & PartsList);

export interface Contract {
  look: { ask: Look; reply: Looked };
  rank: { ask: Rank; reply: Ranked };
  try: { ask: Try; reply: Tried };
  change: { ask: Change; reply: Changed };
  choose: { ask: Choose; reply: Changed };
  note: { ask: Note; reply: Changed };
  show_round: { ask: ShowRound; reply: RoundShown };
  show_card: { ask: ShowCard; reply: CardShown };
  enter_card: { ask: EnterCard; reply: CardEntered };
  set_aside: { ask: SetAside; reply: Changed };
  show_gauge: { ask: ShowGauge; reply: GaugeShown };
  enter_gauge: { ask: EnterGauge; reply: Changed };
  show_blank: { ask: ShowBlank; reply: BlankShown };
  start: { ask: Start; reply: Started };
  draw: { ask: Draw; reply: DrawnScene };
  joints: { ask: Joints; reply: JointTable };
  nudge: { ask: Nudge; reply: Changed };
  draw_part: { ask: DrawPart; reply: PartDrawn };
  show_floor_round: { ask: ShowFloorRound; reply: FloorRoundShown };
  show_floor_card: { ask: ShowFloorCard; reply: CardShown };
  enter_floor_card: { ask: EnterFloorCard; reply: CardEntered };
  turn_as_planned: { ask: TurnAsPlanned; reply: Changed };
}

export type Kind = keyof Contract;

// Every section, in the order of the job.
export const sectionTable = [
  {
    name: 'Front',
    step: 'front',
    question: 'What do I do now?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Car',
    step: 'car',
    question: 'What does the file say?',
    stage: 'surveyed',
    toldOf: 'every car',
  },
  {
    name: 'Measure',
    step: 'measure',
    question: 'Where are the joints, and how sure is that?',
    stage: 'surveyed',
    toldOf: 'every car',
  },
  {
    name: 'Measure next',
    step: 'measure',
    question: 'What should I measure next?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Travel',
    step: 'travel',
    question: 'What do the wheels do?',
    stage: 'surveyed',
    toldOf: 'every car',
  },
  {
    name: 'Correct',
    step: 'correct',
    question: 'Which spacers, and how far must the bracket move the joint?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Make',
    step: 'make',
    question: 'What exactly do I cut, drill, turn and bolt?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Settle',
    step: 'settle',
    question: 'How will the car sit, ride and roll?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Rods',
    step: 'align',
    question: 'How long do the rods become, and what do I turn?',
    stage: 'ranked',
    toldOf: 'a set',
  },
  {
    name: 'Parts',
    step: 'make',
    question: 'What do I need?',
    stage: 'ranked',
    toldOf: 'a set',
  },
  {
    name: 'Align',
    step: 'align',
    question: 'What do I turn, and by how much?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Prove',
    step: 'prove',
    question: 'Does the car now do what was predicted?',
    stage: 'ranked',
    toldOf: 'a set or run',
  },
  {
    name: 'Work',
    step: 'work',
    question: 'In which order, and where do I stop?',
    stage: 'ranked',
    toldOf: 'every car',
  },
  {
    name: 'Record',
    step: 'work',
    question: 'What was done to this car, and who answers for it?',
    stage: 'ranked',
    toldOf: 'every car',
  },
] as const;
