import { describe, expect, test } from 'vitest'
import { SvgContext } from '../../../../shared/charts/svg/svg-context.ts'

const pen = () => new SvgContext({ width: 100, height: 80, name: 'a', measure: (text) => 7 * text.length })

describe('the canvas that writes SVG', () => {
  test('a line goes where the transform of the moment puts it, with its width and dashes', () => {
    const ctx = pen()
    ctx.translate(10, 20)
    ctx.scale(2, 2)
    ctx.beginPath()
    ctx.moveTo(1, 1)
    ctx.lineTo(3, 4)
    ctx.lineWidth = 1.5
    ctx.strokeStyle = '#0a6468'
    ctx.setLineDash([4, 3])
    ctx.stroke()
    expect(String(ctx)).toBe(
      '<path d="M12 22L16 28" fill="none" stroke="#0a6468" stroke-width="3" stroke-miterlimit="10" stroke-dasharray="8 6"/>',
    )
  })

  test('alpha stands apart from the colour, and what would leave no trace is not drawn', () => {
    const ctx = pen()
    ctx.fillStyle = '#ff000080'
    ctx.fillRect(0, 0, 10, 5)
    ctx.fillStyle = 'rgba(1, 2, 3, 0.5)'
    ctx.globalAlpha = 0.5
    ctx.fillRect(0, 0, 1, 1)
    ctx.fillStyle = 'transparent'
    ctx.fillRect(0, 0, 100, 80)
    ctx.fillStyle = '#12345600'
    ctx.fillRect(0, 0, 100, 80)
    expect(String(ctx)).toBe(
      '<path d="M0 0L10 0L10 5L0 5Z" fill="#ff0000" fill-opacity="0.502"/>' +
        '<path d="M0 0L1 0L1 1L0 1Z" fill="rgb(1,2,3)" fill-opacity="0.25"/>',
    )
  })

  test('a full circle is two half circles, and ends where it began', () => {
    const ctx = pen()
    ctx.beginPath()
    ctx.arc(50, 40, 5, 0, 2 * Math.PI)
    ctx.fill()
    expect(String(ctx)).toBe('<path d="M55 40A5 5 0 0 1 45 40A5 5 0 0 1 55 40" fill="#000000"/>')
  })

  test('an arc backwards runs the other way, of the angle that is left', () => {
    const ctx = pen()
    ctx.beginPath()
    ctx.arc(0, 0, 10, 0, -Math.PI / 2, true)
    ctx.stroke()
    expect(String(ctx)).toContain('d="M10 0A10 10 0 0 0 0 -10"')
  })

  test('save and restore bring back colour, transform, dashes and clip', () => {
    const ctx = pen()
    ctx.save()
    ctx.fillStyle = '#ff0000'
    ctx.setLineDash([1, 2])
    ctx.translate(5, 5)
    ctx.beginPath()
    ctx.rect(0, 0, 10, 10)
    ctx.clip()
    ctx.fillRect(0, 0, 1, 1)
    ctx.restore()
    expect(ctx.getLineDash()).toEqual([])
    ctx.fillRect(0, 0, 1, 1)
    expect(String(ctx)).toBe(
      '<defs><clipPath id="a-clip1"><path d="M5 5L15 5L15 15L5 15Z"/></clipPath></defs>' +
        '<path d="M5 5L6 5L6 6L5 6Z" fill="#ff0000" clip-path="url(#a-clip1)"/>' +
        '<path d="M0 0L1 0L1 1L0 1Z" fill="#000000"/>',
    )
  })

  test('the same clip is written once, and one within another holds both', () => {
    const ctx = pen()
    for (const _ of [1, 2]) {
      ctx.save()
      ctx.beginPath()
      ctx.rect(0, 0, 10, 10)
      ctx.clip()
      ctx.beginPath()
      ctx.rect(5, 5, 10, 10)
      ctx.clip()
      ctx.fillRect(0, 0, 1, 1)
      ctx.restore()
    }
    const text = String(ctx)
    expect(text.match(/<clipPath/g)).toHaveLength(2)
    expect(text).toContain('<clipPath id="a-clip2" clip-path="url(#a-clip1)">')
  })

  test('words stay words: turned, anchored, placed on their line, and safe in XML', () => {
    const ctx = pen()
    ctx.font = 'bold 12px "Noto Sans", sans-serif'
    ctx.textAlign = 'center'
    ctx.textBaseline = 'middle'
    ctx.translate(20, 30)
    ctx.rotate(-Math.PI / 2)
    ctx.fillText('a < b & "c"\u0007', 0, 0)
    expect(String(ctx)).toBe(
      '<text x="0" y="4.2" transform="matrix(0 -1 1 0 20 30)" font-family="&quot;Noto Sans&quot;, sans-serif" ' +
        'font-size="12" font-weight="bold" text-anchor="middle" fill="#000000">a &lt; b &amp; &quot;c&quot;</text>',
    )
  })

  test('text is as wide as it is measured', () => {
    expect(pen().measureText('abcd').width).toBe(28)
  })

  test('clearing forgets what was drawn', () => {
    const ctx = pen()
    ctx.fillRect(0, 0, 1, 1)
    ctx.clearRect()
    expect(String(ctx)).toBe('')
  })
})
