import type { EngineState } from './engine-state.ts'
import type { Answer } from './problem.ts'
import type { Progress } from './progress.ts'

/** What the engine or the window tells the page without being asked. */
export type BridgeEvent =
  /** The database changed: by this page, by another window, by the command line. */
  | 'changed'
  /** A long call of this page has come further: the handler is told how far. */
  | 'progress'
  /** A person has opened a study's file from the system: `takeStudyFile` has it. */
  | 'studyFile'
  /** It stands otherwise with the engine's process: the handler is told how. */
  | 'engine'
  /** The window is about to close. It waits (two seconds at most) for what the handler returns. */
  | 'closing'

/** Sizes of paper that a PDF can have. */
export type Paper = 'A4' | 'Letter'

/** A file to be saved: a text, or bytes in base 64. */
export type FileToSave = { fileName: string } & ({ text: string } | { bytes: string })

/** The file of a study as its calls take it: its bytes in base 64. */
export type StudyFile = { fileName: string; bytes: string }

/** What the desktop window gives the page, as `window.evenfilm`; in a browser there is none. */
export type Bridge = {
  kind: 'desktop'
  /** One call of the contract; never rejects for what a person can put right. */
  call(name: string, args: unknown): Promise<Answer<unknown>>
  /** How it stands with the engine's process now. */
  engineState(): Promise<Answer<EngineState>>
  /** Ends an engine that does not answer, or starts one that is not started again unasked. */
  startEngineAgain(): Promise<Answer<null>>
  /** The study's file that a person has opened from the system, once; null where there is none. */
  takeStudyFile(): Promise<Answer<StudyFile | null>>
  /** Calls the handler at every event of the kind; returns the function that stops that. */
  on(event: BridgeEvent, handler: (told?: Progress | EngineState) => void | Promise<void>): () => void
  /** Asks where to save a file and writes it there; the path, or null where nothing was saved. */
  saveFile(file: FileToSave): Promise<Answer<{ saved: string | null }>>
  /** The same as a PDF: for the page as it prints, or for a whole document, whose pages are numbered. */
  savePdf(file: { fileName: string; paper: Paper; html?: string }): Promise<Answer<{ saved: string | null }>>
}
