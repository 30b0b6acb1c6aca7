import { dirname, join } from 'node:path'
import {
  app,
  BrowserWindow,
  dialog,
  type IpcMainInvokeEvent,
  ipcMain,
  type WebContents,
  type WebFrameMain,
} from 'electron'
import { plainFileName } from '../../shared/file-name.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import type { KeptEngine } from '../engine-process/keep-engine.ts'
import { writeTo } from '../write-file.ts'
import { pdfOfDocument } from './document-pdf.ts'
import type { OpenedStudy } from './opened-study.ts'
import { isOwnPage } from './protocol.ts'
import { recall, remember } from './remembered.ts'

type Asked = (event: IpcMainInvokeEvent, ...args: unknown[]) => Promise<Answer<unknown>>

/** Whether a message comes from the page itself: from no frame within it and from no other address. */
export function isFromPage(frame: WebFrameMain | null): boolean {
  return frame !== null && frame.parent === null && isOwnPage(frame.url)
}

/** The word by which the engine tells the pages of windows apart. */
export const pageOf = (contents: WebContents) => `window ${contents.id}`

/** Answers what the page asks over its bridge; whoever else asks is refused. */
export function answerBridge(engine: KeptEngine, opened: OpenedStudy, rememberedFile: string): void {
  const answer = (channel: string, asked: Asked) => {
    ipcMain.handle(channel, async (event, ...args) => {
      if (!isFromPage(event.senderFrame))
        return refuse('notAdmitted', 'Only the page of this program may ask.')
      return asked(event, ...args)
    })
  }
  answer('evenfilm:call', async (event, name, args) => {
    if (typeof name !== 'string') return refuse('badCall', 'A call has a name and arguments.')
    return engine.call(name, args, pageOf(event.sender))
  })
  answer('evenfilm:engineState', async () => good(engine.state))
  answer('evenfilm:startEngineAgain', async () => {
    engine.startAgain()
    return good(null)
  })
  answer('evenfilm:takeStudyFile', async () => opened.take())
  answer('evenfilm:saveFile', async (event, file) => {
    const { fileName, text, bytes } = (file ?? {}) as Record<string, unknown>
    const content =
      typeof text === 'string' ? text : typeof bytes === 'string' ? Buffer.from(bytes, 'base64') : null
    if (typeof fileName !== 'string' || content === null) {
      return refuse('badCall', 'A file to save has a name and a text, or bytes.')
    }
    return save(BrowserWindow.fromWebContents(event.sender), fileName, content, rememberedFile)
  })
  answer('evenfilm:savePdf', async (event, file) => {
    const { fileName, paper, html } = (file ?? {}) as Record<string, unknown>
    if (typeof fileName !== 'string' || (paper !== 'A4' && paper !== 'Letter')) {
      return refuse('badCall', 'A PDF to save has a name and a paper, A4 or Letter.')
    }
    if (html !== undefined && typeof html !== 'string')
      return refuse('badCall', 'A document to save as a PDF is a text.')
    const pdf =
      html === undefined
        ? await event.sender.printToPDF({ pageSize: paper })
        : await pdfOfDocument(html, paper)
    return save(BrowserWindow.fromWebContents(event.sender), fileName, pdf, rememberedFile)
  })
}

async function save(
  window: BrowserWindow | null,
  fileName: string,
  content: string | Buffer,
  rememberedFile: string,
): Promise<Answer<{ saved: string | null }>> {
  const folder = recall(rememberedFile).folder ?? app.getPath('documents')
  const options = { defaultPath: join(folder, plainFileName(fileName)) }
  const chosen = await (window ? dialog.showSaveDialog(window, options) : dialog.showSaveDialog(options))
  if (chosen.canceled || !chosen.filePath) return good({ saved: null })
  const written = writeTo(chosen.filePath, content)
  if (!written.ok) return written
  remember(rememberedFile, { folder: dirname(chosen.filePath) })
  return good({ saved: chosen.filePath })
}
