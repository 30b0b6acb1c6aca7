import { mkdirSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { crc32, deflateSync } from 'node:zlib'

/**
 * The program's icon, drawn here and nowhere else: a wafer with its flat, and on it a film of one tone up to the bare edge,
 * with light along it. Lengths are in 1/1024 of its side.
 */
const side = 1024
const centre = side / 2
/** The wafer's own centre lies lower, since its flat takes away from below. */
const lower = 26
const corner = 200
/** Both discs end at the flat, `cut` below the centre. */
const wafer = { radius: 412, cut: 360 }
const film = { radius: 340, cut: 292 }
/** The light lies where right + down is between these, from the centre. */
const light = { from: -150, to: 90 }
const tones = { ground: '#0a6468', wafer: '#f4f6f6', film: '#3fa9ac', light: '#8ad6d7' }

/** The icon as SVG. */
export function iconAsSvg() {
  const at = (right, down) => `${(centre + right).toFixed(1)} ${(centre + lower + down).toFixed(1)}`
  const disc = ({ radius, cut }, tone) => {
    const half = Math.sqrt(radius ** 2 - cut ** 2)
    return `<path d="M${at(-half, cut)}A${radius} ${radius} 0 1 1 ${at(half, cut)}Z" fill="${tone}"/>`
  }
  const { radius } = film
  // Where a line right + down = sum meets the edge of the film, below on the left and above on the right.
  const ends = (sum) => {
    const root = Math.sqrt(2 * radius ** 2 - sum ** 2)
    return [at((sum - root) / 2, (sum + root) / 2), at((sum + root) / 2, (sum - root) / 2)]
  }
  const [[lowFrom, highFrom], [lowTo, highTo]] = [ends(light.from), ends(light.to)]
  const arc = `A${radius} ${radius} 0 0 1`
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${side} ${side}">`,
    `<rect width="${side}" height="${side}" rx="${corner}" fill="${tones.ground}"/>`,
    disc(wafer, tones.wafer),
    disc(film, tones.film),
    `<path d="M${lowFrom}L${highFrom}${arc} ${highTo}L${lowTo}${arc} ${lowFrom}Z" fill="${tones.light}"/>`,
    '</svg>\n',
  ].join('\n')
}

const within = (right, down, { radius, cut }) => down < cut && right * right + down * down < radius * radius

/** The tone at a point of the icon, or null outside it. */
function toneAt(x, y) {
  const right = x - centre
  const down = y - centre - lower
  const beyondRight = Math.max(0, Math.abs(x - centre) - centre + corner)
  const beyondDown = Math.max(0, Math.abs(y - centre) - centre + corner)
  if (beyondRight * beyondRight + beyondDown * beyondDown > corner * corner) return null
  if (!within(right, down, wafer)) return tones.ground
  if (!within(right, down, film)) return tones.wafer
  return right + down > light.from && right + down < light.to ? tones.light : tones.film
}

const channels = Object.fromEntries(
  Object.values(tones).map((tone) => [
    tone,
    [1, 3, 5].map((at) => Number.parseInt(tone.slice(at, at + 2), 16)),
  ]),
)

/** Red, green, blue and opacity of a pixel in which these tones were found. */
function blend(found) {
  const inside = found.filter((tone) => tone !== null).map((tone) => channels[tone])
  if (inside.length === 0) return [0, 0, 0, 0]
  const mean = (i) => Math.round(inside.reduce((sum, each) => sum + each[i], 0) / inside.length)
  return [mean(0), mean(1), mean(2), Math.round((255 * inside.length) / found.length)]
}

/**
 * The icon as rows of red, green, blue and opacity.
 *
 * @param size pixels of its side
 * @param margin share of the side that is left free all around
 */
function pixels(size, margin = 0) {
  const data = Buffer.alloc(size * size * 4)
  const step = side / (size * (1 - 2 * margin))
  const tone = (column, row) => toneAt((column - margin * size) * step, (row - margin * size) * step)
  const cornersOf = (row) => Array.from({ length: size + 1 }, (_, column) => tone(column, row))
  let above = cornersOf(0)
  for (let row = 0; row < size; row++) {
    const below = cornersOf(row + 1)
    for (let column = 0; column < size; column++) {
      const found = [above[column], above[column + 1], below[column], below[column + 1]]
      // A pixel that an edge crosses is looked at in 8 × 8 points.
      if (size < 64 || found.some((each) => each !== found[0]))
        for (let i = 0; i < 64; i++)
          found[i] = tone(column + ((i % 8) + 0.5) / 8, row + (Math.floor(i / 8) + 0.5) / 8)
      data.set(blend(found), (row * size + column) * 4)
    }
    above = below
  }
  return data
}

/** A file in the Portable Network Graphics format (ISO/IEC 15948): 8 bits a channel, no filters. */
export function iconAsPng(size, margin) {
  const data = pixels(size, margin)
  const chunk = (type, body) => {
    const whole = Buffer.concat([Buffer.from(type, 'latin1'), body])
    return Buffer.concat([word(body.length), whole, word(crc32(whole))])
  }
  const rows = Array.from({ length: size }, (_, row) => [
    Buffer.from([0]),
    data.subarray(row * size * 4, (row + 1) * size * 4),
  ])
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', Buffer.concat([word(size), word(size), Buffer.from([8, 6, 0, 0, 0])])),
    chunk('IDAT', deflateSync(Buffer.concat(rows.flat()), { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

const word = (value) => {
  const bytes = Buffer.alloc(4)
  bytes.writeUInt32BE(value)
  return bytes
}

/** A bitmap as Windows keeps it in an icon: blue first, the lowest row first, and an empty mask after it. */
function iconAsBitmap(size) {
  const data = pixels(size)
  const head = Buffer.alloc(40)
  head.writeUInt32LE(40, 0)
  head.writeInt32LE(size, 4)
  // The mask counts as rows too.
  head.writeInt32LE(size * 2, 8)
  head.writeUInt16LE(1, 12)
  head.writeUInt16LE(32, 14)
  const rows = Array.from({ length: size }, (_, row) =>
    data.subarray((size - 1 - row) * size * 4, (size - row) * size * 4),
  )
  const colours = Buffer.concat(rows)
  for (let at = 0; at < colours.length; at += 4)
    [colours[at], colours[at + 2]] = [colours[at + 2], colours[at]]
  return Buffer.concat([head, colours, Buffer.alloc(Math.ceil(size / 32) * 4 * size)])
}

/** An icon file of Windows: bitmaps, and from 256 pixels PNG. */
function iconAsIco(sizes) {
  const images = sizes.map((size) => ({ size, bytes: size < 256 ? iconAsBitmap(size) : iconAsPng(size) }))
  const list = Buffer.alloc(6 + 16 * images.length)
  list.writeUInt16LE(1, 2)
  list.writeUInt16LE(images.length, 4)
  let place = list.length
  for (const [i, { size, bytes }] of images.entries()) {
    const at = 6 + 16 * i
    // 256 is written as 0.
    list.set([size % 256, size % 256, 0, 0, 1, 0, 32, 0], at)
    list.writeUInt32LE(bytes.length, at + 8)
    list.writeUInt32LE(place, at + 12)
    place += bytes.length
  }
  return Buffer.concat([list, ...images.map(({ bytes }) => bytes)])
}

/** Kinds of an icon file of macOS that hold a PNG, with its pixels; some stand for a smaller icon on a sharp screen. */
const icnsKinds = {
  ic11: 32,
  ic12: 64,
  ic07: 128,
  ic13: 256,
  ic08: 256,
  ic14: 512,
  ic09: 512,
  ic10: 1024,
}

/** An icon file of macOS, whose icons stand free on all sides. */
function iconAsIcns() {
  const drawn = new Map(Object.values(icnsKinds).map((size) => [size, iconAsPng(size, 0.1)]))
  const images = Object.entries(icnsKinds).map(([kind, size]) => {
    const bytes = drawn.get(size)
    return Buffer.concat([Buffer.from(kind, 'latin1'), word(bytes.length + 8), bytes])
  })
  const whole = Buffer.concat(images)
  return Buffer.concat([Buffer.from('icns', 'latin1'), word(whole.length + 8), whole])
}

const pngSizes = [16, 24, 32, 48, 64, 128, 256, 512]

/** Adds the icon to what a run of Vite makes. */
export function addIcon(fileName, source) {
  return {
    name: 'add-icon',
    generateBundle() {
      this.emitFile({ type: 'asset', fileName, source: source() })
    },
  }
}

/** Writes the icon in every form that a package needs, each file at once: icon.ico, icon.icns, and SIZExSIZE.png. */
export function writeIcons(folder) {
  mkdirSync(folder, { recursive: true })
  const write = (name, bytes) => {
    const unfinished = join(folder, `${name}.${process.pid}`)
    writeFileSync(unfinished, bytes)
    renameSync(unfinished, join(folder, name))
  }
  write('icon.ico', iconAsIco([16, 24, 32, 48, 64, 128, 256]))
  write('icon.icns', iconAsIcns())
  for (const size of pngSizes) write(`${size}x${size}.png`, iconAsPng(size))
}
