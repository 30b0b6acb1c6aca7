import { crc32, deflateSync, inflateSync } from 'node:zlib'

const signature = 8
/** Bytes of a point: PNG in true colour of 8 bits, without and with opacity (PNG, third edition, table 11.1). */
const bytesOf = { 2: 3, 6: 4 }

function chunksOf(png) {
  const chunks = []
  for (let at = signature; at < png.length; ) {
    const length = png.readUInt32BE(at)
    chunks.push({
      type: png.toString('latin1', at + 4, at + 8),
      data: png.subarray(at + 8, at + 8 + length),
    })
    at += length + 12
  }
  return chunks
}

function chunk(type, data) {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data])
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)]
  length.writeUInt32BE(data.length)
  check.writeUInt32BE(crc32(body))
  return Buffer.concat([length, body, check])
}

/** The points of the picture in a row, its filters undone (PNG, third edition, 9.2). */
function pointsOf(raw, { width, height, size }) {
  const stride = width * size
  const points = Buffer.alloc(height * stride)
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)]
    for (let i = 0; i < stride; i++) {
      const to = y * stride + i
      const left = i < size ? 0 : points[to - size]
      const up = y === 0 ? 0 : points[to - stride]
      const corner = y === 0 || i < size ? 0 : points[to - stride - size]
      const guess = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][filter]
      points[to] = raw[y * (stride + 1) + 1 + i] + guess
    }
  }
  return points
}

function paeth(left, up, corner) {
  const [a, b, c] = [Math.abs(up - corner), Math.abs(left - corner), Math.abs(left + up - 2 * corner)]
  return a <= b && a <= c ? left : b <= c ? up : corner
}

/**
 * The picture with at most 256 colours, for a repository: the commonest stay as they are, the others (edges of
 * letters) take the nearest of these.
 */
export function smallerPng(png) {
  const chunks = chunksOf(png)
  const { data: head } = chunks[0]
  const [width, height] = [head.readUInt32BE(0), head.readUInt32BE(4)]
  const size = bytesOf[head[9]]
  const data = Buffer.concat(chunks.flatMap((each) => (each.type === 'IDAT' ? [each.data] : [])))
  const points = pointsOf(inflateSync(data), { width, height, size })
  const colourAt = (k) => points.readUIntBE(k * size, 3)
  const counts = new Map()
  for (let k = 0; k < width * height; k++) counts.set(colourAt(k), (counts.get(colourAt(k)) ?? 0) + 1)
  const palette = [...counts]
    .sort((a, b) => b[1] - a[1])
    .slice(0, 256)
    .map(([colour]) => colour)
  const channels = (colour) => [colour >> 16, (colour >> 8) & 255, colour & 255]
  const distance = (a, b) => channels(a).reduce((sum, value, i) => sum + (value - channels(b)[i]) ** 2, 0)
  const indexOf = new Map(palette.map((colour, i) => [colour, i]))
  for (const colour of counts.keys()) {
    if (indexOf.has(colour)) continue
    const nearest = palette.reduce((best, each) =>
      distance(colour, each) < distance(colour, best) ? each : best,
    )
    indexOf.set(colour, indexOf.get(nearest))
  }
  const rows = Buffer.alloc(height * (width + 1))
  for (let k = 0; k < width * height; k++) rows[k + Math.floor(k / width) + 1] = indexOf.get(colourAt(k))
  const indexed = Buffer.from(head)
  indexed[9] = 3
  return Buffer.concat([
    png.subarray(0, signature),
    chunk('IHDR', indexed),
    chunk('PLTE', Buffer.from(palette.flatMap(channels))),
    chunk('IDAT', deflateSync(rows, { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ])
}
