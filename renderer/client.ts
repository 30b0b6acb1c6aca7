import type { Bridge, FileToSave, Paper } from '../shared/bridge.ts'
import type { CallEngine, CallName } from '../shared/contract.ts'
import { type Answer, refuse } from '../shared/problem.ts'
import type { Progress } from '../shared/progress.ts'
import { answerInDecimalSign } from './decimals-in-sentences.ts'
import { words } from './words.ts'

declare global {
  interface Window {
    evenfilm?: Bridge
  }
}

/** How the page is shown: in the desktop window, or in a browser of this machine. */
export const door: 'desktop' | 'browser' = window.evenfilm ? 'desktop' : 'browser'

const gone = () => refuse('engineGone', words.door.gone)

/** Tells this page from others that the same engine serves. */
const page = crypto.randomUUID()

async function callOverHttp(name: CallName, args: unknown): Promise<Answer<unknown>> {
  const response = await fetch('/call', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ name, args, page }),
  })
  if (response.status === 401 || response.status === 403) return refuse('notAdmitted', words.door.notAdmitted)
  return (await response.json()) as Answer<unknown>
}

/**
 * Asks the engine. Arguments are copied to plain data first, because neither door carries Vue's proxies.
 * A door that is gone is a problem too, never an exception.
 */
export const callEngine = (async (name: CallName, args: unknown) => {
  const plain = JSON.parse(JSON.stringify(args)) as unknown
  try {
    const answer = window.evenfilm ? await window.evenfilm.call(name, plain) : await callOverHttp(name, plain)
    return answerInDecimalSign(answer, name)
  } catch {
    return gone()
  }
}) as CallEngine

const changedHandlers = new Set<() => void>()
/** Lets everything that is shown be read again, for when what the answers depend on has changed on this page. */
export function readAllAgain() {
  for (const each of changedHandlers) each()
}
const progressHandlers = new Set<(progress: Progress) => void>()
let listening = false

/** Listens once for the whole page: a browser keeps no more than six connections to one address. */
function listen() {
  if (listening) return
  listening = true
  const moved = (progress?: Progress) => {
    if (progress) for (const each of progressHandlers) each(progress)
  }
  if (window.evenfilm) {
    window.evenfilm.on('changed', readAllAgain)
    window.evenfilm.on('progress', moved)
    return
  }
  const events = new EventSource('/events')
  events.addEventListener('changed', readAllAgain)
  events.addEventListener('progress', (event) => {
    const progress = JSON.parse((event as MessageEvent<string>).data) as Progress
    if (progress.page === page) moved(progress)
  })
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
  download(
    'text' in file
      ? new Blob([file.text], { type: `${typeOf(file.fileName)};charset=utf-8` })
      : new Blob([Uint8Array.from(atob(file.bytes), (sign) => sign.charCodeAt(0))]),
    file.fileName,
  )
  return { ok: true, value: file.fileName }
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
