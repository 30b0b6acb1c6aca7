/** How a screenshot looks to other eyes and in other light, and what is counted in it. */

/** Kinds of colour vision that Chromium can imitate. */
const deficiencies = ['protanopia', 'deuteranopia', 'tritanopia', 'achromatopsia']

/** Calls `visit(name)` once for each kind of colour vision, with the page drawn as it is seen with it. */
export async function withEachSight(page, visit) {
  const session = await page.context().newCDPSession(page)
  for (const type of deficiencies) {
    await session.send('Emulation.setEmulatedVisionDeficiency', { type })
    await visit(type)
  }
  await session.send('Emulation.setEmulatedVisionDeficiency', { type: 'none' })
  await session.detach()
}

/**
 * The picture under amber room light: each point times an amber filter that lets no blue pass (common practice, no
 * source).
 */
export async function underAmber(page, picture) {
  const data = await page.evaluate(async (png) => {
    const image = new Image()
    image.src = `data:image/png;base64,${png}`
    await image.decode()
    const canvas = Object.assign(document.createElement('canvas'), {
      width: image.width,
      height: image.height,
    })
    const context = canvas.getContext('2d')
    context.drawImage(image, 0, 0)
    context.globalCompositeOperation = 'multiply'
    context.fillStyle = '#ffb000'
    context.fillRect(0, 0, image.width, image.height)
    return canvas.toDataURL('image/png').split(',')[1]
  }, picture.toString('base64'))
  return Buffer.from(data, 'base64')
}

/** Points of a picture that hold any blue: the bay theme must have none. */
export const bluePoints = (page, picture) =>
  page.evaluate(async (png) => {
    const image = new Image()
    image.src = `data:image/png;base64,${png}`
    await image.decode()
    const canvas = Object.assign(document.createElement('canvas'), {
      width: image.width,
      height: image.height,
    })
    const context = canvas.getContext('2d')
    context.drawImage(image, 0, 0)
    const { data: points } = context.getImageData(0, 0, image.width, image.height)
    return points.reduce((count, value, i) => count + (i % 4 === 2 && value > 0 ? 1 : 0), 0)
  }, picture.toString('base64'))
