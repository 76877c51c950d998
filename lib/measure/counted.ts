/** A count with its word, so that one thing is never "1 things". Example: counted(1, 'entry', 'entries') is "1 entry". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count.toLocaleString('en-GB')} ${count === 1 ? one : many}`
}
