import { escaped } from '../../escaped.ts'
import { type Affine, compose, scaleOf, unmoved } from './affine.ts'
import { paintOf } from './colour.ts'
import { Path, rounded } from './path.ts'

/** What `save` keeps and `restore` brings back. */
const kept = [
  'fillStyle',
  'strokeStyle',
  'lineWidth',
  'lineCap',
  'lineJoin',
  'miterLimit',
  'lineDashOffset',
  'globalAlpha',
  'font',
  'textAlign',
  'textBaseline',
  'lineDash',
  'placed',
  'clipName',
] as const
type State = Pick<SvgContext, (typeof kept)[number]>

/** How far below the given height the writing line lies, in font sizes: of a usual sans-serif face. */
const belowGiven: Record<string, number> = {
  top: 0.77,
  hanging: 0.77,
  middle: 0.35,
  bottom: -0.22,
  ideographic: -0.22,
}
const anchors: Record<string, string> = { center: 'middle', right: 'end', end: 'end' }

/**
 * A 2D canvas that writes down what is drawn as SVG: one drawing code for the screen, for files and for the report. It
 * knows what lines, areas, marks and words need; pictures, gradients and shadows it has not.
 *
 * @param options.name begins the names of clip paths, so that several drawings may stand in one page
 * @param options.measure the width of a text in a font, px
 */
export class SvgContext {
  readonly canvas: { width: number; height: number }
  fillStyle = '#000000'
  strokeStyle = '#000000'
  lineWidth = 1
  lineCap = 'butt'
  lineJoin = 'miter'
  miterLimit = 10
  lineDashOffset = 0
  globalAlpha = 1
  font = '10px sans-serif'
  textAlign = 'start'
  textBaseline = 'alphabetic'
  /** The dashes in force; `setLineDash` sets them. */
  lineDash: number[] = []
  /** The transform in force. */
  placed: Affine = unmoved
  /** The clip path in force, or null. */
  clipName: string | null = null
  private readonly measure: (text: string, font: string) => number
  private readonly name: string
  private states: State[] = []
  private path = new Path()
  private drawn: string[] = []
  /** Names by what they are clip paths of. */
  private clips = new Map<string, string>()

  constructor(options: {
    width: number
    height: number
    name: string
    measure: (text: string, font: string) => number
  }) {
    this.canvas = { width: options.width, height: options.height }
    this.name = options.name
    this.measure = options.measure
  }

  /** All that was drawn, as the inside of an `svg` element. */
  toString(): string {
    const clips = [...this.clips].map(([path, name]) => path.replace('<clipPath', `<clipPath id="${name}"`))
    return (clips.length > 0 ? `<defs>${clips.join('')}</defs>` : '') + this.drawn.join('')
  }

  save() {
    this.states.push(Object.fromEntries(kept.map((name) => [name, this[name]])) as State)
  }

  restore() {
    Object.assign(this, this.states.pop())
  }

  translate(x: number, y: number) {
    this.transform(1, 0, 0, 1, x, y)
  }

  scale(x: number, y: number) {
    this.transform(x, 0, 0, y, 0, 0)
  }

  rotate(angle: number) {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)]
    this.transform(cos, sin, -sin, cos, 0, 0)
  }

  transform(...inner: Affine) {
    this.placed = compose(this.placed, inner)
  }

  setTransform(...transform: Affine) {
    this.placed = transform
  }

  resetTransform() {
    this.placed = unmoved
  }

  beginPath() {
    this.path = new Path()
  }

  closePath() {
    this.path.close()
  }

  moveTo(x: number, y: number) {
    this.path.moveTo(this.placed, x, y)
  }

  lineTo(x: number, y: number) {
    this.path.lineTo(this.placed, x, y)
  }

  bezierCurveTo(ax: number, ay: number, bx: number, by: number, x: number, y: number) {
    this.path.curveTo(this.placed, [ax, ay], [bx, by], [x, y])
  }

  quadraticCurveTo(ax: number, ay: number, x: number, y: number) {
    this.path.bendTo(this.placed, [ax, ay], [x, y])
  }

  rect(x: number, y: number, width: number, height: number) {
    this.path.rectangle(this.placed, x, y, width, height)
  }

  arc(x: number, y: number, radius: number, from: number, to: number, backwards = false) {
    this.path.arc(this.placed, { x, y, radius, from, to, backwards })
  }

  fill(rule: 'nonzero' | 'evenodd' = 'nonzero') {
    this.fillPath(this.path, rule)
  }

  stroke() {
    this.strokePath(this.path)
  }

  fillRect(x: number, y: number, width: number, height: number) {
    this.fillPath(this.rectangle(x, y, width, height), 'nonzero')
  }

  strokeRect(x: number, y: number, width: number, height: number) {
    this.strokePath(this.rectangle(x, y, width, height))
  }

  /** A drawing is cleared as a whole before it is drawn anew; parts of it never are. */
  clearRect() {
    this.drawn = []
    this.clips.clear()
  }

  clip(rule: 'nonzero' | 'evenodd' = 'nonzero') {
    const by = rule === 'evenodd' ? ' clip-rule="evenodd"' : ''
    const path = `<clipPath${this.clipAttribute()}><path d="${this.path}"${by}/></clipPath>`
    const name = this.clips.get(path) ?? `${this.name}-clip${this.clips.size + 1}`
    this.clips.set(path, name)
    this.clipName = name
  }

  /** Like a canvas it takes anything for a text, which drawing code counts on. */
  measureText(text: unknown) {
    const size = this.fontSize()
    return {
      width: this.measure(String(text), this.font),
      actualBoundingBoxAscent: 0.75 * size,
      actualBoundingBoxDescent: 0.2 * size,
    }
  }

  fillText(text: string, x: number, y: number) {
    this.write(text, [x, y], this.paint('fill', this.fillStyle))
  }

  strokeText(text: string, x: number, y: number) {
    const width = ` stroke-width="${rounded(this.lineWidth)}" stroke-linejoin="round"`
    this.write(text, [x, y], ` fill="none"${this.paint('stroke', this.strokeStyle)}${width}`)
  }

  setLineDash(lineDash: number[]) {
    this.lineDash = [...lineDash]
  }

  getLineDash() {
    return [...this.lineDash]
  }

  private rectangle(x: number, y: number, width: number, height: number) {
    const path = new Path()
    path.rectangle(this.placed, x, y, width, height)
    return path
  }

  private fillPath(path: Path, rule: 'nonzero' | 'evenodd') {
    const paint = this.paint('fill', this.fillStyle)
    if (path.empty || paint === '') return
    const by = rule === 'evenodd' ? ' fill-rule="evenodd"' : ''
    this.drawn.push(`<path d="${path}"${paint}${by}${this.clipAttribute()}/>`)
  }

  private strokePath(path: Path) {
    const paint = this.paint('stroke', this.strokeStyle)
    if (path.empty || paint === '' || this.lineWidth === 0) return
    const { lineCap, lineJoin, miterLimit, lineDash, lineDashOffset } = this
    const by = scaleOf(this.placed)
    const attributes = [
      ` stroke-width="${rounded(this.lineWidth * by)}"`,
      lineCap === 'butt' ? '' : ` stroke-linecap="${lineCap}"`,
      lineJoin === 'miter' ? ` stroke-miterlimit="${rounded(miterLimit)}"` : ` stroke-linejoin="${lineJoin}"`,
      lineDash.length > 0
        ? ` stroke-dasharray="${lineDash.map((length) => rounded(length * by)).join(' ')}"`
        : '',
      lineDash.length > 0 && lineDashOffset ? ` stroke-dashoffset="${rounded(lineDashOffset * by)}"` : '',
    ]
    this.drawn.push(`<path d="${path}" fill="none"${paint}${attributes.join('')}${this.clipAttribute()}/>`)
  }

  private write(text: string, [x, y]: [number, number], paint: string) {
    if (paint === '' || text === '') return
    const [a, b, c, d, e, f] = this.placed
    const size = this.fontSize()
    const line = y + (belowGiven[this.textBaseline] ?? 0) * size
    const turned = a !== 1 || b !== 0 || c !== 0 || d !== 1
    const place: [number, number] = turned ? [x, line] : [x + e, line + f]
    const turn = [a, b, c, d].map((each) => Number(each.toFixed(6))).join(' ')
    const transform = turned ? ` transform="matrix(${turn} ${rounded(e)} ${rounded(f)})"` : ''
    const anchor = anchors[this.textAlign]
    const words =
      `<text x="${rounded(place[0])}" y="${rounded(place[1])}"${transform}${this.fontAttributes(size)}` +
      `${anchor ? ` text-anchor="${anchor}"` : ''}${paint}>${escaped(text)}</text>`
    // A clip lies in the coordinates of the whole drawing, not in those of a turned text.
    this.drawn.push(this.clipName === null ? words : `<g${this.clipAttribute()}>${words}</g>`)
  }

  private fontSize() {
    return Number(/([\d.]+)px/.exec(this.font)?.[1] ?? 10)
  }

  private fontAttributes(size: number) {
    const [before = '', family = 'sans-serif'] = this.font.split(/\s*[\d.]+px(?:\/\S+)?\s+/)
    const weight = /\b(bold|[1-9]00)\b/.exec(before)?.[1]
    const slant = /\b(italic|oblique)\b/.exec(before)?.[1]
    return (
      ` font-family="${escaped(family)}" font-size="${rounded(size)}"` +
      `${weight ? ` font-weight="${weight}"` : ''}${slant ? ` font-style="${slant}"` : ''}`
    )
  }

  /** Attributes of a colour; empty where it would leave no trace. */
  private paint(what: 'fill' | 'stroke', style: string) {
    const { colour, opacity } = paintOf(style)
    const seen = opacity * this.globalAlpha
    if (colour === 'none' || seen === 0) return ''
    return ` ${what}="${colour}"${seen < 1 ? ` ${what}-opacity="${Number(seen.toFixed(3))}"` : ''}`
  }

  private clipAttribute() {
    return this.clipName === null ? '' : ` clip-path="url(#${this.clipName})"`
  }
}
