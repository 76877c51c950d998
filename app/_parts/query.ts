/** What Next hands a page for the part of its address after the question mark. */
export type PageQuery = Promise<Record<string, string | string[] | undefined>>

/** One text of an address; the first when it is there several times, '' when it is not there. */
export function queryText(value: string | string[] | undefined): string {
  return (Array.isArray(value) ? value[0] : value)?.slice(0, 200) ?? ''
}

/** A row id or page number of an address; null when there is none, or it is none. */
export function queryId(value: string | string[] | undefined): number | null {
  const text = queryText(value)
  return /^[1-9]\d{0,14}$/.test(text) ? Number(text) : null
}
