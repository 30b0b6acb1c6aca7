import { quantity } from '../../shared/charts/format.ts'
import { count } from '../format.ts'

/** What a button does, and the step that it concerns. */
const named = (act: string, step: string) =>
  step === '' ? act : `${act}: ${step.charAt(0).toLowerCase()}${step.slice(1)}`

/** Words of the parts that every screen uses. */
export const words = {
  hint: { label: 'Hint', read: 'Understood' },
  howFound: 'How this is found',
  notTaken: (field: string) => `${field}: what stands there was not taken. Correct it or empty it.`,
  bottle: {
    newTitle: 'New bottle',
    about:
      'Only the name is needed. Each session that coats from it opens it once; its coats and purges are counted as poured.',
    name: 'Name or number',
    resist: 'Resist',
    lot: 'Lot',
    size: 'Size',
    goodUntil: 'Good until',
    firstOpened: 'First opened',
    day: 'such as 2026-03-02',
    history: 'What happened to it',
    cancel: 'Cancel',
    save: 'Save',
    noName: 'Give the bottle its number or a name.',
    title: (name: string) => `Bottle ${name}`,
    amount: (kind: string, ml: number) => `${kind}, ${quantity(String(ml), 'mL')}`,
  },
  bottleField: {
    label: 'Bottle',
    outNow: 'Out of the fridge now',
    thisOne: 'This bottle',
    open: 'Bottle…',
    newOne: 'New bottle',
    add: 'New…',
    none: 'None',
    withLot: (name: string, lot: string) => `${name}, lot ${lot}`,
  },
  dialog: {
    close: 'Close',
  },
  events: {
    noTime: 'time not noted',
    takeBack: 'Take back',
    none: 'Nothing is noted yet.',
    kind: 'What happened',
    volume: 'Volume',
    when: 'When',
    whenSuch: 'now, 08:30 or 2026-03-02',
    remark: 'Remark',
    add: 'Note it',
    wrongTime: 'Enter a time such as 08:30 or a day such as 2026-03-02, or leave it empty for now.',
    takeBackOf: (event: string) => `Take back: ${event}`,
  },
  finder: {
    title: 'Find',
    field: 'Part of the name of a study or the code of a run',
    such: 'Name of a study, code of a run',
    last: 'Opened last',
    list: 'Studies and runs found',
    noneOpened: 'No study was opened here yet.',
    nothing: 'Nothing has this in its name or code.',
    archived: 'archived',
    run: (code: string) => `Run ${code}`,
  },
  histogram: {
    bar: (from: string, to: string, count: number) => `${from} to ${to}: ${count}`,
    title: (count: number, of: string, bars: readonly string[]) =>
      `Histogram of ${count} ${of}. ${bars.join('; ')}`,
  },
  keys: {
    title: 'Keys',
  },
  plateStart: {
    label: 'Plate at the start',
    hint: 'Its first heat-up is counted as time',
    beforehand: 'Plate set before the session',
  },
  progress: {
    cancel: 'Cancel',
    far: (done: number, of: number, what: string) => `${done} of ${of} ${what}`,
    percent: (share: number) => quantity(String(share), '%'),
  },
  settings: {
    theme: 'Theme',
    thickness: 'Thickness',
    decimals: 'Decimal sign',
    light: 'Light',
    dark: 'Dark',
    bay: 'Bay',
    bayWords:
      'Black, red and amber only. A display still leaks some light: the room’s rule on screens applies.',
    asStudy: 'as the study',
    decimalOptions: {
      system: { label: 'automatic', words: 'By the language of this computer. Entry takes both signs.' },
      point: { label: '0.5', words: 'Decimal point. Entry takes both.' },
      comma: { label: '0,5', words: 'Decimal comma. Entry takes both.' },
    },
    hints: 'Hints',
    hintOptions: { on: 'shown', off: 'hidden' },
    hintsWords: 'Advice on the method where it is needed. Shown anew after they were hidden.',
  },
  rail: {
    label: 'Screens',
    find: 'Find',
    keys: 'Keys',
  },
  simulated: {
    practice: 'Practice, simulated film',
    film: 'Simulated film',
  },
  steps: {
    note: 'Note',
    add: 'Add a step',
    fresh: 'Step',
    noName: 'Give the step a name.',
    twice: 'Two steps have this name; change one.',
    step: (n: number) => `Step ${n}`,
    minutesOf: (n: number) => `Minutes of step ${n}`,
    noteOn: (n: number) => `Note on step ${n}`,
    up: (n: number) => `Move step ${n} up`,
    down: (n: number) => `Move step ${n} down`,
    remove: (n: number) => `Remove step ${n}`,
  },
  header: {
    archived: 'archived',
    noQuestion: 'No question written down yet.',
    target: 'Target',
    notSet: 'not set',
    nonUniformity: 'Non-uniformity',
    progress: (read: number, planned: number, saved: string) =>
      `${planned === 0 ? 'No runs yet' : `${read} / ${planned} runs read`}, saved ${saved}`,
    edge: (mm: string) => `${quantity(mm, 'mm')} edge`,
  },
  undoRedo: {
    undo: (step: string) => named('Undo', step),
    redo: (step: string) => named('Redo', step),
    of: (step: string, study: string) => `${step}, in ‘${study}’`,
  },
  toast: {
    label: 'Notice',
    dismiss: 'Dismiss',
    undo: 'Undo',
    undoKeys: 'Undo with control Z',
  },
  railState: {
    noRuns: 'no runs yet',
    modelChosen: 'model chosen',
    readyToFit: 'ready to fit',
    ready: 'ready',
    tooFew: 'too few runs',
    studies: (n: number) => count(n, 'study', 'studies'),
    planned: (n: number) => `${count(n, 'run')} planned`,
    read: (read: number, planned: number) => `${read} of ${planned} read`,
    toMake: (n: number) => `${n} to make`,
    lots: (n: number) => count(n, 'lot'),
  },
  field: {
    notPositive: 'A thickness is more than 0.',
    notWhole: (typed: string) => `‘${typed}’ is no whole number.`,
    below: (typed: string, low: number) => `‘${typed}’ is below ${low}.`,
    above: (typed: string, high: number) => `‘${typed}’ is above ${high}.`,
  },
}
