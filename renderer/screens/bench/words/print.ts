/** What is printed of runs. */
export const words = {
  simulated: ' (simulated)',
  printDialog: {
    open: 'Print…',
    title: 'Print run cards',
    what: 'What',
    card: 'The card of this run, one page',
    sheet: 'A sheet of the planned runs, six on a page',
    paper: 'Paper of the PDF',
    letter: 'Letter',
    paperWords: (door: 'desktop' | 'browser') =>
      `The print dialog asks for the paper, A4 or Letter${door === 'browser' ? ', and can save a PDF instead' : ''}.`,
    cancel: 'Cancel',
    pdf: 'Save as PDF',
    print: 'Print',
  },
  printedCard: {
    run: (place: number, of: number, lot: string | null, plateVisit: number | null) =>
      [
        `run ${place} of ${of}`,
        ...(lot === null ? [] : [`lot ${lot}`]),
        ...(plateVisit === null ? [] : [`plate visit ${plateVisit}`]),
      ].join(' · '),
    segment: 'Segment',
    atSpeed: 'at speed, s',
    softBake: 'Soft bake',
    display: 'display,',
    surface: 'surface,',
    plateSet: (at: string) => `Plate set at ${at || '________'}.`,
    readFirst: 'Read the plate before coating.',
    sites: 'Sites',
    site: (site: number) => `site ${site}`,
    remarks: 'Remarks: what looked different (comet, streak, star, chuck mark, bubble, …)',
    dateAndTime: 'Date and time',
    session: (name: string) => `Session ${name}`.trim(),
    operator: (name: string) => `Operator ${name}`.trim(),
    room: 'Room °C',
    humidity: 'Room %RH',
    bottle: (name: string | null) => (name === null ? 'Bottle, opened' : `Bottle ${name}, opened`),
    plateSurface: 'Plate surface °C',
    lid: 'Lid',
  },
  printedSheet: {
    lot: (lot: string) => `lot ${lot}`,
    bake: ({ display, surface, seconds }: { display: string; surface: string; seconds: string }) =>
      `bake ${display} °C display, ${surface} °C surface, ${seconds} s`,
    head: (page: number, pages: number) =>
      `· sheet ${page} of ${pages} · date ____________ operator ____________ bottle ____________`,
    foot: (roomRules: string) =>
      `Read the plate before coating. Follow the rules of the room and the safety data sheet. ${roomRules}`,
    time: 'Time',
    plate: 'Plate °C',
    room: 'Room °C, %RH',
    film: 'Film',
    deviation: 'Deviation',
  },
}
