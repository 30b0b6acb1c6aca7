import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { app, BrowserWindow } from 'electron'
import type { Paper } from '../../shared/bridge.ts'

/** Sizes are in the template's own pixels, which are smaller than those of the page. */
const footer =
  '<div style="width: 100%; text-align: center; font: 8px sans-serif">' +
  '<span class="pageNumber"></span> / <span class="totalPages"></span></div>'

/**
 * A whole document as a PDF with page numbers. It is loaded into a window of its own that nobody sees, where no script
 * runs and nothing but the document itself is read.
 */
export async function pdfOfDocument(html: string, paper: Paper): Promise<Buffer> {
  const folder = await mkdtemp(join(app.getPath('temp'), 'evenfilm-report-'))
  const file = join(folder, 'report.html')
  const address = pathToFileURL(file).href
  const window = new BrowserWindow({
    show: false,
    webPreferences: {
      sandbox: true,
      contextIsolation: true,
      nodeIntegration: false,
      javascript: false,
      partition: 'report',
    },
  })
  window.webContents.session.webRequest.onBeforeRequest(({ url }, done) => done({ cancel: url !== address }))
  try {
    await writeFile(file, html)
    await window.loadURL(address)
    return await window.webContents.printToPDF({
      pageSize: paper,
      displayHeaderFooter: true,
      headerTemplate: '<span></span>',
      footerTemplate: footer,
      // Inches.
      margins: { top: 0.6, bottom: 0.7, left: 0.55, right: 0.55 },
    })
  } finally {
    window.destroy()
    await rm(folder, { recursive: true, force: true })
  }
}
