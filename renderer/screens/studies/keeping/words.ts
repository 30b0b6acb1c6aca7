import { count, showMoment } from '../../../format.ts'

const occasions: Record<string, string> = {
  start: 'at the start',
  hour: 'after an hour of work',
  'by-hand': 'by hand',
  'before-import': 'before an import',
  'before-adding': 'before a study’s file came in',
  'before-restore': 'before a backup was put back',
  removed: 'after the database was removed or replaced',
}

const size = (bytes: number) =>
  bytes < 1e6 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`

/** Words about what keeps the data: backups, and studies as files. */
export const words = {
  backups: {
    open: 'Backups…',
    title: 'Backups',
    about:
      'A backup is a whole copy of the database, checked after it was written. They are made at the start, every hour of work and before an import, where something has changed: three of the last day are kept, one of every other day, ten in all.',
    where: (folder: string) =>
      `Backups are kept beside the database, in ${folder}. Copy one to another disk now and then.`,
    make: 'Back up now',
    made: 'A backup is made.',
    none: 'No backup yet. The first one is made with the next change.',
    caption: 'Backups, newest first',
    madeAt: 'Made',
    occasion: 'Occasion',
    size: 'Size',
    actions: 'Look inside',
    occasionOf: (occasion: string) =>
      occasions[occasion] ??
      (occasion.startsWith('before-version') ? 'before a newer version of the database' : occasion),
    sizeOf: size,
    look: 'Look inside',
    lookOf: (at: string) => `Look inside the backup of ${showMoment(at)}`,
    inside: (at: string) => `The backup of ${showMoment(at)}`,
    lastChange: (at: string | null) =>
      at === null ? 'It holds no change yet.' : `Last change in it: ${showMoment(at)}.`,
    studies: 'Studies in this backup',
    study: 'Study',
    runs: 'Runs',
    readings: 'Readings',
    changed: 'Last change',
    noStudies: 'No study is in it.',
    back: 'Back to the list',
    restore: 'Put it in the place of the database',
    restoreWords:
      'All studies become what they were then. What is there now is saved as a backup first, so that you can go back to it the same way.',
    restored: (at: string) =>
      `The backup of ${showMoment(at)} is in place; what was there is among the backups.`,
    inPlace: 'The backup is in place.',
    rescued: (file: string) => `The backup is in place. The damaged file is kept as ${file}.`,
    leave: 'Close',
  },
  damaged: {
    title: 'The database cannot be read',
    about:
      'A backup can take its place. A damaged file is kept as it is and stays beside it under another name, for whoever may want to look at it.',
    none: 'No backup lies beside it. If you have one elsewhere, copy it into the folder of the database without changing its name: it then stands here. Or begin with an empty database and open the files of studies that you saved.',
    empty: 'Begin with an empty database',
    emptyWords:
      'Where no backup can take its place, you can go on without what it held. Backups and the damaged file stay where they are, and a backup can still be put back afterwards.',
    emptied: (file: string | null) =>
      file === null
        ? 'An empty database is in place.'
        : `An empty database is in place. The damaged file is kept as ${file}.`,
  },
  file: {
    save: 'Save as file',
    saveOf: (study: string) => `Save as file: ${study}`,
    saved: (file: string) => `Saved as ${file}.`,
    open: 'From a study’s file…',
    title: 'Bring in a study’s file',
    about:
      'A file holds one study with its readings and history. Pass such files on, by a share or a stick. The database itself does not belong on a share: two computers that write to it over a network can destroy it.',
    choose: 'Study’s file (.evenfilm)',
    from: (fileName: string) => `From ‘${fileName}’:`,
    holds: (runs: number, readings: number) => `${count(runs, 'run')}, ${count(readings, 'reading')}`,
    changed: (at: string) => `Last change ${showMoment(at)}.`,
    hash: (hash: string) => `Hash of its data: ${hash}`,
    isHere: (name: string) => `The study is here already, as ‘${name}’.`,
    same: 'It holds the same as here: nothing is to be brought in.',
    way: 'How',
    ways: {
      new: 'As it is',
      add: 'Add what is new',
      copy: 'As a copy beside it',
    },
    wayWords: {
      new: 'With its history; tools that are here already stay as they are here.',
      add: 'Runs and readings that are not here yet. Nothing that is here is changed, but that a run which is only planned here takes over how it was made there.',
      copy: 'A second study under a name of its own, which has nothing to do with the first any more.',
    },
    bring: 'Bring it in',
    leave: 'Leave it',
    backup: 'A backup is made first.',
  },
}
