/** The word of this load by which the content policy lets a style element pass; a document within the page is held to it. */
const nonce = () => document.querySelector<HTMLElement>('meta[property="csp-nonce"]')?.nonce ?? ''

/** The document as the page may show it: its one style element bears the nonce of this load. */
export const withNonce = (text: string): string => text.replace('<style>', `<style nonce="${nonce()}">`)

/** Prints a document alone, without the page about it. Scripts do not run in it; it may only open the print dialog. */
export async function printDocument(text: string): Promise<void> {
  const frame = document.createElement('iframe')
  frame.className = 'unseen'
  frame.sandbox.add('allow-same-origin', 'allow-modals')
  frame.srcdoc = withNonce(text)
  const loaded = new Promise((done) => frame.addEventListener('load', done, { once: true }))
  document.body.append(frame)
  await loaded
  frame.contentWindow?.addEventListener('afterprint', () => frame.remove(), { once: true })
  frame.contentWindow?.print()
}
