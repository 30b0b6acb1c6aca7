import { randomBytes } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { extname, join, resolve, sep } from 'node:path'

/** What a request for a file of the page is answered with, from the custom scheme and on loopback alike. */
export type PageFile = { status: number; headers: Record<string, string>; body: Buffer<ArrayBuffer> | string }

const types: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
}

/** The word in the bundled page that stands for the nonce of one load. */
const placeholder = 'nonce-of-this-load'

/**
 * What the page may load and run: its own scripts and styles, nothing from elsewhere. The nonce is for the one
 * style element that the component library renders.
 */
export function contentPolicy(nonce: string): string {
  return [
    `default-src 'none'`,
    `script-src 'self'`,
    `style-src 'self' 'nonce-${nonce}'`,
    `img-src 'self' data: blob:`,
    `font-src 'self'`,
    `connect-src 'self'`,
    `base-uri 'none'`,
    `form-action 'none'`,
    `frame-ancestors 'none'`,
  ].join('; ')
}

/** Headers of every answer, whatever it holds. */
export function guardHeaders(nonce: string): Record<string, string> {
  return {
    'Content-Security-Policy': contentPolicy(nonce),
    'X-Content-Type-Options': 'nosniff',
    'Referrer-Policy': 'no-referrer',
    'Cross-Origin-Opener-Policy': 'same-origin',
    'Cross-Origin-Resource-Policy': 'same-origin',
    'Cache-Control': 'no-store',
  }
}

/** A nonce for one load. */
export const freshNonce = () => randomBytes(16).toString('base64')

/** The file below `folder` that a path of an address names, or null where it names none or leads outside. */
export function fileBelow(folder: string, path: string): string | null {
  let decoded: string
  try {
    decoded = decodeURIComponent(path)
  } catch {
    return null
  }
  if (!decoded.startsWith('/') || decoded.includes('\0') || decoded.includes('\\')) return null
  const file = resolve(join(folder, decoded === '/' ? 'index.html' : decoded))
  return file.startsWith(resolve(folder) + sep) ? file : null
}

/** Answers a request for a file of the page: `path` is that of the address, not yet decoded. */
export async function pageFile(folder: string, path: string): Promise<PageFile> {
  const nonce = freshNonce()
  const headers = guardHeaders(nonce)
  const file = fileBelow(folder, path)
  const type = file && types[extname(file)]
  const body = file && type ? await readFile(file).catch(() => null) : null
  if (!file || !type || !body) {
    return {
      status: 404,
      headers: { ...headers, 'Content-Type': 'text/plain; charset=utf-8' },
      body: 'Not found.',
    }
  }
  return {
    status: 200,
    headers: { ...headers, 'Content-Type': type },
    body: file.endsWith('.html') ? body.toString('utf8').replaceAll(placeholder, nonce) : body,
  }
}
