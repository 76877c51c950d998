/** What a request says about the page that sent it. */
export interface RequestOrigin {
  method: string
  /** Host header, with the port. */
  host: string | null
  origin: string | null
  secFetchSite: string | null
  /** `https` when a reverse proxy took the request over https. */
  forwardedProto: string | null
}

const READS = new Set(['GET', 'HEAD', 'OPTIONS'])

/**
 * Why a request that may write is refused; null when it may pass. A browser states the origin of every such request; one
 * without it, with `null` or from another page is not a form of ours, whatever cookie it carries. X-Forwarded-Host is not
 * looked at: a reverse proxy must hand the Host header through.
 */
export function originFault(request: RequestOrigin): string | null {
  if (READS.has(request.method.toUpperCase())) return null
  if (request.secFetchSite && request.secFetchSite !== 'same-origin') return 'it was sent by another site'
  if (!request.origin || request.origin === 'null') return 'it does not say which page sent it (Origin header)'
  if (!request.host) return 'it does not say to which host it goes'
  if (!URL.canParse(request.origin)) return 'its Origin header cannot be read'
  const origin = new URL(request.origin)
  // Parsed with the origin's own scheme, so that a standard port may be written or left out.
  if (!URL.canParse(`${origin.protocol}//${request.host}`)) return 'its Host header cannot be read'
  if (origin.host !== new URL(`${origin.protocol}//${request.host}`).host)
    return 'it was sent by a page of another host'
  const overHttps = request.forwardedProto?.split(',')[0]?.trim() === 'https'
  return overHttps && origin.protocol !== 'https:' ? 'it was sent by a page that was not loaded over https' : null
}
