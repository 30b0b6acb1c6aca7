/** The table of all runs and maps side by side. */
export const words = {
  runTable: {
    dropped: (dropped: number) => `Also those dropped (${dropped})`,
    scroll: 'All runs, to scroll',
    legend: (formula: string, anyHappened: boolean) =>
      `NU: non-uniformity as ${formula}; s: standard deviation of the sites${anyHappened ? '; ≠: what really happened' : ''}. Choose a run to take it in hand.`,
    caption: 'All runs in run order',
    excluded: '(left out)',
    mapOf: (code: string) => `Map of ${code}`,
    run: 'Run',
    map: 'Map',
    order: 'Order',
    visit: 'Visit',
    lot: 'Lot',
    session: 'Session',
    state: 'State',
    readings: 'Readings',
    sites: 'Sites',
    leftOut: 'Left out',
    mean: 'Mean',
    note: 'Note',
    spread: 's',
    nonUniformity: 'NU',
    failed: (defect: string) => `failed: ${defect}`,
    sitesOf: (read: number, sites: number) => `${read} of ${sites}`,
  },
  sessionOfRuns: {
    title: (without: number) =>
      without === 0
        ? 'Set the session of several runs'
        : `Set the session of several runs (${without} coated ${without === 1 ? 'run has' : 'runs have'} none)`,
    about: 'Lots judges only runs that say in which session, that is visit to the tools, they were coated.',
    runs: 'Runs',
    runsExample: 'W03, W07–W09',
    session: 'Session',
    sessionExample: 'day and visit',
    put: 'Set the session',
    kept: (runs: number, session: string) =>
      `${runs === 1 ? '1 run is' : `${runs} runs are`} in ${session} now.`,
  },
  mapsChosen: {
    label: 'Wafer maps side by side of the runs',
    example: 'W03, W07–W09',
    show: 'Show the maps',
    clear: 'Take them away',
    orMark: 'Or mark runs in the column ‘Map’.',
    tooMany: (codes: number, most: number) =>
      `${codes} maps are too many to compare: the first ${most} are shown.`,
  },
  waferMaps: {
    section: 'Wafer maps side by side',
    takeRun: (code: string) => `Take ${code} in hand`,
    take: 'Take in hand',
    clearRun: (code: string) => `Take away the map of ${code}`,
    clear: 'Take away',
    nothing: 'No reading with a place yet.',
    nonUniformity: ', non-uniformity',
    key: 'Thickness of all maps',
  },
}
