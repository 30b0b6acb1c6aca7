/** Which run is in hand, and the tabs of the bench. */
export const words = {
  benchScreen: {
    bench: 'Bench',
    emptyTitle: 'No run in hand',
    empty:
      'A run card shows what to type into the coater and takes the readings. Runs come from a plan, or from a CSV file with one row a run.',
    makePlan: 'Make a plan',
    importFile: 'Import a CSV file',
    goToReadings: 'Go to the readings',
    nothingToRead: 'There is no run to read yet.',
    nothingToTrace: 'There is no run to trace yet.',
    coat: 'Coat',
    read: 'Read',
    traces: 'Traces',
    allSites: 'All sites',
    allRuns: 'All runs',
    gauge: 'Gauge',
    importCsv: 'Import CSV',
    cardFile: (code: string) => `${code} card.pdf`,
    sheetFile: 'run sheet.pdf',
  },
  runHead: {
    place: (place: number, of: number, plateVisit: number | null) =>
      `run ${place} of ${of}${plateVisit === null ? '' : `, visit ${plateVisit}`}`,
    runs: 'Runs',
    previousRun: 'Previous run',
    nextRun: 'Next run',
    lot: 'lot',
    kind: 'kind',
    sessionOf: (session: { name: string; operator: string; bottle: string | null }) =>
      [
        `Session ${session.name}`,
        session.operator && `operator ${session.operator}`,
        session.bottle && `bottle ${session.bottle}`,
      ]
        .filter(Boolean)
        .join(', '),
    centre: 'centre',
    state: 'State',
    states: {
      planned: 'planned',
      coated: 'coated',
      measured: 'measured',
      failed: 'failed coat',
      dropped: 'dropped',
    },
    dropped: (note: string) => `Dropped. ${note}`,
    failedCoat: (defect: string) => `Failed coat: ${defect}`,
    excluded: (excluded: string) => `Left out of fits: ${excluded}`,
  },
  findRun: {
    label: 'Take up run',
  },
  planBrokenLink: {
    planBroken: 'The plan is broken…',
  },
  failedDialog: {
    title: (code: string) => `The coat of ${code} failed`,
    stays: 'Its readings, if there are any, stay on record and are left out of fits.',
    defect: 'What is wrong with the film',
    cancel: 'Cancel',
    mark: 'Mark as failed',
    usual: [
      'comet',
      'streak',
      'star',
      'chuck mark',
      'uncoated corner',
      'bubble',
      'particle',
      'orange peel',
      'edge pull-back',
      'haze',
    ],
  },
}
