/** Makes one call from within the page, by whichever way its door has. Runs in the page: it uses nothing outside. */
export async function callFromPage({ name, args }: { name: string; args: unknown }) {
  const { evenfilm } = window as { evenfilm?: { call(name: string, args: unknown): Promise<unknown> } }
  if (evenfilm) return evenfilm.call(name, args)
  const response = await fetch('/call', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ name, args }),
  })
  return response.json()
}
