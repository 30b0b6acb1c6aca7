import type { Bridge, FileToSave, Paper, StudyFile } from '../shared/bridge.ts'
import type { CallEngine, CallName } from '../shared/contract.ts'
import type { EngineState } from '../shared/engine-state.ts'
import { plainFileName } from '../shared/file-name.ts'
import { type Answer, good, refuse } from '../shared/problem.ts'
import type { Progress } from '../shared/progress.ts'
import { answerInDecimalSign } from './decimals-in-sentences.ts'
import { type DoorState, type Heard, loopback } from './loopback.ts'
import { words } from './words.ts'

declare global {
  interface Window {
    evenfilm?: Bridge
  }
}

/** How the page is shown: in the desktop window, or in a browser of this machine. */
export const door: 'desktop' | 'browser' = window.evenfilm ? 'desktop' : 'browser'

const changedHandlers = new Set<() => void>()
const progressHandlers = new Set<(progress: Progress) => void>()
const stateHandlers = new Set<(state: DoorState) => void>()
/** Lets everything that is shown be read again, for when what the answers depend on has changed on this page. */
export function readAllAgain() {
  for (const each of changedHandlers) each()
}
const heard: Heard = {
  changed: readAllAgain,
  progress: (progress) => {
    for (const each of progressHandlers) each(progress)
  },
  state: (state) => {
    for (const each of stateHandlers) each(state)
  },
}
const overHttp = window.evenfilm ? null : loopback(heard)

/**
 * Asks the engine, and waits for its answer however often that has to be started again meanwhile. Arguments are copied to
 * plain data first, because neither door carries Vue's proxies.
 */
export const callEngine = (async (name: CallName, args: unknown) => {
  const plain = JSON.parse(JSON.stringify(args)) as unknown
  const asked = window.evenfilm ? window.evenfilm.call(name, plain) : overHttp?.call(name, plain)
  return answerInDecimalSign((await asked) as Answer<unknown>, name)
}) as CallEngine

/** Ends an engine that does not answer, or starts one that is not started again unasked. */
export async function startEngineAgain(): Promise<void> {
  await (window.evenfilm ? window.evenfilm.startEngineAgain() : overHttp?.startEngineAgain())
}

let listening = false

/** Listens once for the whole page: a browser keeps no more than six connections to one address. */
function listen() {
  if (listening) return
  listening = true
  if (overHttp) return overHttp.listen()
  window.evenfilm?.on('changed', heard.changed)
  window.evenfilm?.on('progress', (progress) => heard.progress(progress as Progress))
  window.evenfilm?.on('engine', (state) => heard.state(state as EngineState))
}

/** Calls back with how it stands with the engine, now and whenever that changes. */
export function onDoorState(handler: (state: DoorState) => void): () => void {
  stateHandlers.add(handler)
  listen()
  void window.evenfilm?.engineState().then((now) => now.ok && handler(now.value))
  return () => stateHandlers.delete(handler)
}

/** Calls back whenever the database changed, from this window or another. */
export function onChanged(handler: () => void): () => void {
  changedHandlers.add(handler)
  listen()
  return () => changedHandlers.delete(handler)
}

/** Calls back with how far the long calls of this page have come, a few times a second. */
export function onProgress(handler: (progress: Progress) => void): () => void {
  progressHandlers.add(handler)
  listen()
  return () => progressHandlers.delete(handler)
}

/** Does the work before the desktop window closes; it waits for what the handler returns. */
export function onClosing(handler: () => Promise<void>): () => void {
  return window.evenfilm ? window.evenfilm.on('closing', handler) : () => {}
}

/** The study's file that a person has opened from the system, once; null where there is none, as in a browser. */
export async function takeStudyFile(): Promise<Answer<StudyFile | null>> {
  return window.evenfilm ? window.evenfilm.takeStudyFile() : good(null)
}

/** Calls back when a person has opened a study's file from the system. */
export function onStudyFile(handler: () => Promise<void>): () => void {
  return window.evenfilm ? window.evenfilm.on('studyFile', handler) : () => {}
}

/** Saves the page as it prints, or a whole document, as a PDF in the desktop window; a browser does so in its print dialog. */
export async function savePdf(file: {
  fileName: string
  paper: Paper
  html?: string
}): Promise<Answer<string | null>> {
  if (!window.evenfilm) return refuse('noPdf', words.door.noPdf)
  const answer = await window.evenfilm.savePdf(file)
  return answer.ok ? { ok: true, value: answer.value.saved } : answer
}

/**
 * Saves text, or bytes in base 64, as a file: a dialog in the desktop window, a download in a browser.
 *
 * @returns where it went, or null where the person thought better of it
 */
export async function saveFile(file: FileToSave): Promise<Answer<string | null>> {
  if (window.evenfilm) {
    const answer = await window.evenfilm.saveFile(file)
    return answer.ok ? { ok: true, value: answer.value.saved } : answer
  }
  const fileName = plainFileName(file.fileName)
  download(
    'text' in file
      ? new Blob([file.text], { type: `${typeOf(file.fileName)};charset=utf-8` })
      : new Blob([Uint8Array.from(atob(file.bytes), (sign) => sign.charCodeAt(0))]),
    fileName,
  )
  return { ok: true, value: fileName }
}

function typeOf(fileName: string): string {
  const ending = fileName.split('.').at(-1) ?? ''
  return ({ html: 'text/html', svg: 'image/svg+xml' } as Record<string, string>)[ending] ?? 'text/csv'
}

/** Hands a file to the browser, which asks where to keep it or puts it with the downloads. */
function download(file: Blob, name: string) {
  const address = URL.createObjectURL(file)
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 1000)
}
