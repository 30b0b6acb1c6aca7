import type { Finding } from '../../../../shared/contract/results/check.ts'

/** What each check compares. */
const checks: Record<Finding['code'], string> = {
  ramp: 'Ramps fit into their segments',
  dwell: 'Time at speed of the main segment',
  speed: 'Speed against the coater’s limit',
  chuck: 'Chuck against the substrate',
  bake: 'Bake against the plate’s limit',
  acceleration: 'Acceleration against the coater’s limit',
  reached: 'Speed that sets the thickness is reached',
  resist: 'Speed and bake against the resist',
  total: 'Time against the plan',
  settle: 'Time since the plate was set',
  bowl: 'Dummies after the bowl was cleaned',
  bottle: 'Bottle: expiry, warming up, openings',
}

const sentenceCase = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

/** What stands under Coat. */
export const words = {
  checks,
  coatTab: {
    programSection: 'Spin program and bake',
    spinProgram: 'Spin program',
    programFile: (code: string) => `${code} spin program`,
    noProgram: 'The study has no spin program. Enter its segments under Studies.',
    coated: 'Coated: go on to the readings',
    letter: (code: string) =>
      `Write ${code} on the substrate: its last letter is a check that tells a slip when the code is typed.`,
    practice: 'Practice: once it is coated, this run has its readings from an invented film.',
    checksSection: 'Checks and cautions',
    cautions: 'Cautions',
    roomRules: 'Rules of the room',
  },
  programTable: {
    caption: ({
      rampInside,
      coater,
      seconds,
    }: {
      rampInside: boolean
      coater: string | null
      seconds: string
    }) =>
      `Segment times ${rampInside ? 'include' : 'do not include'} the ramp on ${coater ?? 'this coater (assumed)'}. ● sets the thickness. The program takes ${seconds} s.`,
    segment: 'Segment',
    atSpeed: 'at speed, s',
    softBake: 'Soft bake',
    onDisplay: 'on the display,',
    atSurface: (plateKnown: boolean) =>
      `at the surface${plateKnown ? '' : ' (no hot plate is chosen: taken as the display)'}, for`,
  },
  plateClock: {
    set: 'The plate was set',
    ago: (settlesInMin: number | null) =>
      `ago${settlesInMin === null ? '' : `, of the ${settlesInMin} min that it takes to settle`}.`,
    hint: (settlesInMin: number) =>
      `The first wafer after a new setting bears the plate’s way there: wait the ${settlesInMin} min, then read the display again.`,
    readFirst: 'Read the plate before coating.',
  },
  checkList: {
    title: 'Checks',
    usualLimits:
      'Compared with usual limits where a tool’s own have not been confirmed by a person (Studies, Tools).',
  },
  stepList: {
    title: 'Steps',
    ownSteps: 'of this run alone',
    change: 'Change for this run…',
    dialog: (code: string) => `Steps of ${code}`,
    othersKeep: 'Other runs keep theirs.',
    asStudy: 'As in the study',
    cancel: 'Cancel',
    keep: 'Keep',
  },
  actualPart: {
    title: (count: number) => `What really happened${count > 0 ? ` (${count} recorded)` : ''}`,
    advice: 'Leave empty what went as planned. The fit takes what stands here in place of the plan.',
    lidOpen: 'Lid was open',
    operator: 'Operator',
    deviations: 'What else was different',
    keep: 'Keep',
    speed: 'Speed',
    segmentTime: 'Segment time',
    ramp: 'Ramp',
    plateSurface: 'Plate surface',
    bakeTime: 'Bake time',
    settled: 'Since the plate was set',
    room: 'Room',
    roomHumidity: 'Room humidity',
    sinceBowl: 'Wafers since clean bowl',
  },
  sessionPart: {
    heading: (parts: string[]) => sentenceCase(parts.join(', ')),
    plateVisit: (number: number) => `plate visit ${number}`,
    known: (session: { operator: string; bottle: string | null } | null) =>
      [session?.operator && `operator ${session.operator}`, session?.bottle && `bottle ${session.bottle}`]
        .filter(Boolean)
        .join(', '),
    missing: { day: 'day', operator: 'operator', bottle: 'bottle' },
    notNoted: (missing: string) => ` – not noted: ${missing}`,
    kept: ' – kept',
    day: 'Day',
    operator: 'Operator',
    room: 'Room',
    roomHumidity: 'Room humidity',
    noteOnSession: 'Note on the session',
    plateDisplay: 'Plate display',
    plateSurfaceProbed: 'Plate surface, probed',
    plateSetAt: 'Plate set at',
    noteOnVisit: 'Note on the visit',
    keep: 'Keep',
  },
  runNotes: {
    lot: 'Lot',
    session: 'Session (visit to the tools)',
    sessionExample: 'day and visit',
    ofDay: (day: string, runs: number) =>
      runs === 1
        ? `Session of the day: ${day}`
        : `Session of the day: ${day}, with the ${runs} runs coated on it`,
    joinLater: 'Runs coated on that day later join it by themselves.',
    sameAsBefore: (earlierSession: string) => `Same as before: ${earlierSession}`,
    note: 'Note (lid open, comet, wait, …)',
    excluded: 'Leave the whole run out of fits because …',
    excludedHint: 'Empty: it counts.',
    keep: 'Keep',
  },
  coats: {
    unmarked: 'As it is marked, where it is used more than once',
    none: 'Not coated yet',
    count: (coats: number, codes: string) =>
      coats === 1 ? `Coated once: ${codes}` : `Coated ${coats} times: ${codes}`,
    over: (planned: boolean, code: string) =>
      `${planned ? 'It bears' : 'It bore'} the film of ${code}, which nobody noted as stripped.`,
    coated: (code: string, study: string, lot: string | null) =>
      `coated: ${code} of ‘${study}’${lot === null ? '' : `, lot ${lot}`}`,
  },
  substrateField: {
    substrate: 'Substrate',
    history: 'What happened to it…',
  },
  substrateDialog: {
    title: (code: string) => `Substrate ${code}`,
    code: 'Code',
    kind: 'What it is',
    kindExample: 'silicon with oxide',
    note: 'Note',
    history: 'What happened to it',
    cancel: 'Cancel',
    save: 'Save',
    over: (code: string | null) => (code === null ? '' : `, over the film of ${code}, not stripped`),
  },
}
