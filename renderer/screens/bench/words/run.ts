/** Which run is in hand, and the tabs of the bench. */
export const words = {
  benchScreen: {
    bench: 'Bench',
    goToReadings: 'Go to the readings',
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
  noRuns: {
    title: 'No runs yet',
    about:
      'A run card shows what to type into the coater and takes the readings. Runs come from a plan, or from a CSV file with one row a run.',
    makePlan: 'Make a plan',
    importFile: 'Import a CSV file',
  },
  runHead: {
    place: (place: number, of: number, plateVisit: number | null) =>
      `run ${place} of ${of}${plateVisit === null ? '' : `, visit ${plateVisit}`}`,
    runs: 'Runs',
    previousRun: 'Previous run',
    nextRun: 'Next run',
    lot: 'lot',
    kind: 'kind',
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
    label: 'Go to run',
  },
  planBrokenLink: {
    planAnew: 'Plan the rest anew…',
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
