/** Words of what stands around the screens, and of what all of them share. */
export const words = {
  page: { program: 'Evenfilm', opening: 'Opening', skip: 'Skip to the work' },
  screens: {
    studies: 'Studies',
    plan: 'Plan',
    bench: 'Bench',
    curves: 'Curves',
    next: 'Next',
    lots: 'Lots',
    report: 'Report',
  },
  door: {
    gone: 'The program behind this page does not answer. Start it again, then reload this page.',
    notAdmitted: 'This page has lost its admission. Open the address that was printed again.',
    noPdf: 'A browser saves a PDF from its print dialog.',
  },
  fileDrop: {
    beginStudy: 'Begin a study from this file',
    intoStudy: 'Look at this file, to bring its readings into the study',
  },
  history: {
    undone: (label: string) => `Taken back: ${label}`,
    redone: (label: string) => `Done again: ${label}`,
  },
  /** What to do now in a study. */
  standing: {
    read: (code: string, more: number) => `Read ${code}${moreAfter(more)}`,
    coat: (code: string, more: number) => `Coat ${code}${moreAfter(more)}`,
    target: 'Say which thickness you need',
    plan: 'Plan the first runs',
    planMore: (measured: number) => `Plan more runs: ${measured} ${measured === 1 ? 'is' : 'are'} too few`,
    confirmed: 'See whether the recipe is confirmed',
    report: 'Write the report: the recipe is confirmed',
    notConfirmed: 'Ask for the next run: the recipe was not confirmed',
    confirm: 'Confirm the recipe, or ask for one more run',
    curves: 'See what the runs say',
  },
  bottle: {
    left: (ml: string) => `about ${ml} mL left`,
    opened: (times: number) =>
      times === 0 ? 'not opened yet' : times === 1 ? 'opened once' : `opened ${times} times`,
    empty: 'empty',
    goodUntil: (day: string) => `good until ${day}`,
    outOfFridge: (moment: string) => `out of the fridge ${moment}`,
  },
  keys: {
    anywhere: 'Anywhere, but while a field is typed into',
    find: 'find a study or a run',
    list: 'this list',
    undo: 'undo the last step',
    redo: 'redo it',
    history: 'what was changed in the study, and back',
    nextPart: 'to the next part, back',
    close: 'close what lies over the page',
    reading: 'Reading a wafer',
    takeReading: 'take the reading and go to the next site',
    otherSite: 'to the site before or after',
    grid: 'In a grid of readings',
    nextCell: 'to the next cell; with Shift more cells',
    digit: 'a digit',
    typeOver: 'type over the cell',
    change: 'change what it holds',
    takeCell: 'take it and go down, to the right',
    takeBack: 'take the readings back',
    copy: 'copy cells, paste a block',
    fill: 'fill down',
    all: 'choose all cells',
    chart: 'In a chart',
    crosshair: 'move the crosshair',
    closer: 'closer, farther',
    whole: 'the whole chart',
  },
}

function moreAfter(runs: number): string {
  return runs > 0 ? `; ${runs} more after it` : ''
}
