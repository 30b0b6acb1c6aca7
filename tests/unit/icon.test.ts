import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inflateSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { writeIcons } from '../../build/icon.js'

/** Width, height, and the points as red, green, blue and opacity, of a PNG without filters (ISO/IEC 15948). */
function readPng(file: Buffer) {
  expect(file.subarray(0, 8).toString('latin1')).toBe('\x89PNG\r\n\x1a\n')
  const parts = new Map<string, Buffer>()
  for (let at = 8; at < file.length; ) {
    const length = file.readUInt32BE(at)
    parts.set(file.toString('latin1', at + 4, at + 8), file.subarray(at + 8, at + 8 + length))
    at += 12 + length
  }
  const head = parts.get('IHDR') as Buffer
  const [width, height] = [head.readUInt32BE(0), head.readUInt32BE(4)]
  const rows = inflateSync(parts.get('IDAT') as Buffer)
  expect(rows.length).toBe(height * (1 + 4 * width))
  const pointAt = (x: number, y: number) => [...rows.subarray(y * (1 + 4 * width) + 1 + 4 * x).subarray(0, 4)]
  return { width, height, pointAt }
}

describe('the icon', () => {
  let folder: string
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-icon-'))
    writeIcons(folder)
  })
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  test('is drawn in the sizes that desktops of Linux look for: a ground, and on it the wafer with its film', () => {
    const pngs = readdirSync(folder).filter((name) => name.endsWith('.png'))
    const sizes = pngs.map((name) => Number.parseInt(name, 10)).sort((one, other) => one - other)
    expect(sizes).toEqual([16, 24, 32, 48, 64, 128, 256, 512])
    for (const size of sizes) {
      const { width, height, pointAt } = readPng(readFileSync(join(folder, `${size}x${size}.png`)))
      expect([width, height]).toEqual([size, size])
      const part = (share: number) => Math.floor(size * share)
      expect(pointAt(0, 0)[3]).toBeLessThan(100)
      expect(pointAt(part(0.5), part(0.05))).toEqual([0x0a, 0x64, 0x68, 255])
      // In the smallest an edge runs through the middle.
      if (size === 16) continue
      expect(pointAt(part(0.5), part(0.5))).toEqual([0x8a, 0xd6, 0xd7, 255])
      expect(pointAt(part(0.68), part(0.68))).toEqual([0x3f, 0xa9, 0xac, 255])
    }
  })

  test('is an icon file of Windows up to 256 pixels: bitmaps, and the largest as PNG', () => {
    const file = readFileSync(join(folder, 'icon.ico'))
    expect([file.readUInt16LE(0), file.readUInt16LE(2)]).toEqual([0, 1])
    const images = Array.from({ length: file.readUInt16LE(4) }, (_, i) => {
      const entry = file.subarray(6 + 16 * i, 22 + 16 * i)
      const start = entry.readUInt32LE(12)
      return { size: entry[0] || 256, bytes: file.subarray(start, start + entry.readUInt32LE(8)) }
    })
    expect(images.map(({ size }) => size)).toEqual([16, 24, 32, 48, 64, 128, 256])
    for (const { size, bytes } of images.slice(0, -1)) {
      expect([bytes.readUInt32LE(0), bytes.readInt32LE(4), bytes.readInt32LE(8)]).toEqual([
        40,
        size,
        2 * size,
      ])
      expect(bytes.length).toBe(40 + 4 * size * size + Math.ceil(size / 32) * 4 * size)
      if (size === 16) continue
      // The middle of the picture, blue first.
      const middle = 40 + 4 * (size * (size / 2) + size / 2)
      expect([...bytes.subarray(middle, middle + 4)]).toEqual([0xd7, 0xd6, 0x8a, 255])
    }
    expect(readPng(images.at(-1)?.bytes as Buffer).width).toBe(256)
  })

  test('is an icon file of macOS up to 1024 pixels, free on all sides', () => {
    const file = readFileSync(join(folder, 'icon.icns'))
    expect(file.toString('latin1', 0, 4)).toBe('icns')
    expect(file.readUInt32BE(4)).toBe(file.length)
    const sizes: Record<string, number> = {}
    for (let at = 8; at < file.length; at += file.readUInt32BE(at + 4)) {
      const { width, pointAt } = readPng(file.subarray(at + 8, at + file.readUInt32BE(at + 4)))
      sizes[file.toString('latin1', at, at + 4)] = width
      expect(pointAt(width / 2, 0)).toEqual([0, 0, 0, 0])
      expect(pointAt(width / 2, width / 2)).toEqual([0x8a, 0xd6, 0xd7, 255])
    }
    expect(Object.values(sizes).sort((one, other) => one - other)).toEqual([
      32, 64, 128, 256, 256, 512, 512, 1024,
    ])
  })
})
