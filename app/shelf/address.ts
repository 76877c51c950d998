/** What stands behind the question mark of an address; nothing where there is none. */
export function dropQuestionMark(address: string): string {
  return address.split('?')[1] ?? ''
}
