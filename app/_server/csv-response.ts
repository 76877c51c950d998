/** A CSV file to keep under `name`, which must be plain letters, digits, points and hyphens. */
export function csvResponse(name: string, text: string): Response {
  return new Response(text, {
    headers: {
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': `attachment; filename="${name}"`,
      'x-content-type-options': 'nosniff',
      'cache-control': 'private, no-store',
    },
  })
}
