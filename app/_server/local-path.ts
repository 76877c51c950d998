/** Path of the page that is asked for: written by proxy.ts over whatever the browser sent under this name. */
export const PATH_HEADER = 'x-cotterbook-path'

/** Only for taking addresses apart; nothing is ever sent there. */
const HERE = 'http://here.invalid'

/**
 * The path to go to after signing in, or `/` when `text` would lead anywhere else: another host (`//host`, `/\host`,
 * `/x/..//host`), another scheme, or back to the sign-in screen itself.
 */
export function localPath(text: string | null | undefined): string {
  if (!text || text.length > 2000 || !text.startsWith('/') || /[\\\p{Cc}]/u.test(text)) return '/'
  if (!URL.canParse(text, HERE)) return '/'
  const url = new URL(text, HERE)
  const path = `${url.pathname}${url.search}${url.hash}`
  // The dots are folded by now, so what was hidden behind them shows.
  if (url.origin !== HERE || path.startsWith('//')) return '/'
  return /^\/(sign-in|first-manager)(?![\w-])/.test(path) ? '/' : path
}

/** Address of the sign-in screen that leads on to `next`. */
export function signInPath(next: string | null | undefined): string {
  const path = localPath(next)
  return path === '/' ? '/sign-in' : `/sign-in?next=${encodeURIComponent(path)}`
}
