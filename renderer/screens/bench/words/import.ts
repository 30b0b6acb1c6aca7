import { count } from '../../../format.ts'

/** What stands under Import CSV. */
export const words = {
  contents: {
    newRuns: (runs: number) => count(runs, 'new run'),
    readings: (readings: number, runs: number | null) =>
      count(readings, 'reading') + (runs === null ? '' : ` of ${count(runs, 'run')}`),
    runs: (runs: number) => count(runs, 'run'),
    both: (parts: string[]) => parts.join(' and '),
    files: (files: number) => `${files} files`,
    nothing: 'Nothing was imported.',
  },
  importTab: {
    files:
      'Text files of runs (one row a run), or of readings (one row a reading, scan or substrate; one column or one file a substrate)',
    filesHint: 'Or drop the files here. Nothing comes in before you have seen what it is taken for.',
    bringIn: (contents: string) => `Import ${contents}`,
    nothing: 'Import nothing',
    reading: 'Reading the file',
    done: (contents: string, name: string) => `Imported ${contents} from ${name}.`,
  },
  importPreview: {
    problems: (problems: number) =>
      `${count(problems, 'problem')}: nothing can be imported until the file or the columns are put right`,
    warnings: (warnings: number) => `${count(warnings, 'reading')} to be looked at first`,
    corrected: (corrected: number) => `${count(corrected, 'run')} with readings that this file corrects`,
    flagged: (flagged: number) => `${count(flagged, 'reading')} will come in marked as left out`,
    leftAside: (leftAside: number) =>
      `${count(leftAside, 'row')} left aside: summaries, failed points, what is there already or has no reading`,
    shape: {
      runs: 'a row is a run',
      readings: 'a row is a reading',
      'wide readings': 'a row is a substrate with its sites',
    },
    between: (delimiter: string) =>
      ({ ',': 'commas', ';': 'semicolons', '\t': 'tabs' })[delimiter] ?? `‘${delimiter}’`,
    summary: (file: {
      fileName: string
      rowCount: number
      shape: string
      between: string
      runs: number
      newRuns: number
      readings: number
    }) =>
      `${file.fileName}: ${count(file.rowCount, 'row')}, ${file.shape}, cells parted by ${file.between}. ` +
      `It holds ${count(file.runs, 'run')} (${file.newRuns} new) and ${count(file.readings, 'reading')}.`,
  },
  importColumns: {
    section: 'Columns of the file',
    caption: (rows: number) =>
      `The first ${rows} rows: as they stand in the file, and beside it as they are read. Change what a column means above its cells.`,
    meaningOf: (column: string) => `What ‘${column}’ means`,
    unit: 'unit',
    decimalOf: (column: string) => `Decimal sign of ‘${column}’`,
    thousandsOf: (column: string) => `Thousands sign of ‘${column}’`,
    row: (row: number) => `row ${row}`,
    leftAside: ', left aside',
    meaning: {
      ignored: 'left aside',
      run: 'run (substrate)',
      site: 'site number',
      x: 'x position',
      y: 'y position',
      radius: 'distance from the centre',
      angle: 'angle from +x, counter-clockwise',
      repeat: 'repeat at the site',
      'taken after': 'stage of the reading',
      'optical index': 'optical index',
      reading: 'thickness reading',
      'wide site': 'reading of one site',
      factor: 'factor',
      response: 'other response',
      lot: 'resist lot',
      session: 'session',
      block: 'block',
      'plate visit': 'plate visit',
      stage: 'stage of the plan',
      'run order': 'run order',
      'standard order': 'standard order',
      kind: 'kind of run',
      state: 'state of the run',
      note: 'note',
      'typed text': 'text as typed',
      'typed unit': 'unit as typed',
      unit: 'unit of the reading',
      'read at': 'time of reading',
      quantity: 'quantity read',
      excluded: 'reason reading left out',
      'run excluded': 'reason run left out',
      defect: 'defect of a failed coat',
      substrate: 'code of the substrate',
      steps: 'steps of the run card',
      'steps done': 'steps checked off',
      'coated at': 'when it was coated',
      actual: 'what really happened',
    },
    unread: 'cannot be read',
    nothing: 'nothing',
    site: 'site',
    name: 'name',
    thousands: {
      none: 'none between thousands',
      comma: 'comma between thousands',
      point: 'point between thousands',
      blank: 'blank between thousands',
      apostrophe: 'apostrophe between thousands',
    },
    decimals: { point: 'decimal point', comma: 'decimal comma' },
  },
  importSettings: {
    decimal: 'Decimal sign of the file',
    decimals: { point: 'point (1530.6)', comma: 'comma (1530,6)' },
    header: 'Row that names the columns',
    headerNamed: 'there is one',
    headerNone: 'none: every row holds readings',
    origin: 'Positions count from',
    originCentre: 'the centre',
    originLowerLeft: 'the lower left corner',
    yAxis: 'Direction of y',
    yUp: 'up, away from the flat',
    yDown: 'down, towards the flat',
    repeated: 'A second reading at a site',
    repeatedRefused: 'is a mistake: refuse it',
    repeatedRepeats: 'is a repeat: numbered in order',
    readAfter: 'Films were read after',
    notSaid: 'not said',
    opticalIndexOf: 'Refractive index of the readings',
    before: 'File name before the substrate',
    after: 'File name after the substrate',
    byName: 'The substrate of each file, by its name',
    file: 'File',
    substrate: 'Substrate',
    rows: 'Rows',
  },
  importMappings: {
    section: 'Kept mappings',
    found: (name: string) => `A file with these columns was read as ‘${name}’.`,
    use: (name: string) => `Read it as ‘${name}’`,
    forget: (name: string) => `Forget ‘${name}’`,
  },
  importsDone: {
    section: 'Files that came in',
    caption:
      'Files that came in. The last of them is taken back by Undo while nothing else has been done since.',
    file: 'File',
    when: 'When',
    runs: 'Runs',
    readings: 'Readings',
    state: 'State',
    text: 'Its text',
    stateOf: (undone: boolean) => (undone ? 'taken back' : 'stands'),
    save: (fileName: string) => `Save ‘${fileName}’`,
  },
  keepMapping: {
    label: 'Keep what the columns mean as',
    example: 'name of the gauge',
    keep: 'Keep',
    kept: (name: string) => `Kept what the columns mean as ‘${name}’.`,
  },
  pastedBlock: {
    title: 'Or paste a block from a spreadsheet',
    text: 'Pasted block',
    textHint: 'With the row that names its columns, where there is one.',
    name: 'Name of the block',
    nameHint: 'The substrate, where no column says it.',
    look: 'Look at the block',
    unnamed: 'pasted block',
  },
  problemRows: {
    more: (rest: number) => `… and ${rest} more.`,
  },
}
