import { type NextRequest, NextResponse } from 'next/server'
import { PATH_HEADER } from '@/app/_server/local-path.ts'
import { originFault } from '@/app/_server/origin.ts'
import { problemOfOrigin } from '@/app/_server/problem.ts'

function contentPolicy(nonce: string): string {
  // React's development build rebuilds stacks with eval; the built program does not.
  const development = process.env.NODE_ENV === 'development' ? " 'unsafe-eval'" : ''
  return [
    "default-src 'self'",
    // The page reader and the scanner are WebAssembly.
    `script-src 'self' 'nonce-${nonce}' 'strict-dynamic' 'wasm-unsafe-eval'${development}`,
    // Callouts are placed on the drawing by style attributes, which a nonce cannot cover. Styles run nothing.
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' blob: data:",
    "worker-src 'self' blob:",
    "object-src 'none'",
    "base-uri 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; ')
}

const FIXED_HEADERS = {
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'same-origin',
  // The scanner on our own pages, nobody else.
  'permissions-policy': 'camera=(self), microphone=(), geolocation=()',
  'cross-origin-opener-policy': 'same-origin',
  'x-frame-options': 'DENY',
}

/**
 * Before every request: refuses writes that another site's page sent, and sets the headers that tell the browser what pages may
 * do. It does not decide who may do what: screens, actions and routes do (app/_server/).
 */
export function proxy(request: NextRequest): Response {
  const { headers, method, nextUrl } = request
  const fault = originFault({
    method,
    host: headers.get('host'),
    origin: headers.get('origin'),
    secFetchSite: headers.get('sec-fetch-site'),
    forwardedProto: headers.get('x-forwarded-proto'),
  })
  const policy = contentPolicy(Buffer.from(crypto.randomUUID()).toString('base64'))
  let response: Response
  if (fault) {
    response = problemOfOrigin(fault)
  } else {
    const handedOn = new Headers(headers)
    // Next reads the nonce for its own scripts from here.
    handedOn.set('content-security-policy', policy)
    handedOn.set(PATH_HEADER, `${nextUrl.pathname}${nextUrl.search}`)
    response = NextResponse.next({ request: { headers: handedOn } })
  }
  response.headers.set('content-security-policy', policy)
  for (const [name, value] of Object.entries(FIXED_HEADERS)) response.headers.set(name, value)
  return response
}

export const config = { matcher: ['/((?!_next/static/|_next/image|icon\\.svg$|vendor/).*)'] }
