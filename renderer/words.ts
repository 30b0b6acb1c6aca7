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
    defect: 'A defect of the program; the window in which it was started says more.',
    noPdf: 'A browser saves a PDF from its print dialog.',
  },
  /** What is said while the engine, or the program behind the page, does not do its work. */
  engine: {
    again:
      'The part of the program that keeps the data has ended and is being started again. What you have typed stays, and what was not saved yet is sent again.',
    silent: (seconds: number) =>
      `The part of the program that keeps the data has not answered for ${seconds} s. What you have typed stays. Wait, or start it again: what was not saved yet is then sent again.`,
    ended: (times: number, because: string) =>
      `The part of the program that keeps the data has ended ${times} times within a minute (${because}) and is not started again by itself. What was saved is kept, and what you have typed stays on this page. Try again; should it go on, copy out what is not saved and start the whole program anew.`,
    gone: 'The program behind this page does not answer. What you have typed stays as long as this page is open. It goes on by itself once the program answers again.',
    notAdmitted:
      'The program was started anew and does not know this page yet. Open the address that it printed in this browser: this page then goes on, with what you have typed.',
    startAgain: 'Start it again',
    tryAgain: 'Try again',
    back: 'The part of the program that keeps the data had stopped and works again. What was not saved yet has been sent again.',
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
