import { NextRequest } from 'next/server'
import { describe, expect, test } from 'vitest'
import { originFault } from '../../app/_server/origin.ts'
import { config, proxy } from '../../proxy.ts'

const HOST = 'workshop.example:3000'
const OWN = `http://${HOST}`

function ask(method: string, headers: Record<string, string> = {}, path = '/jobs?open=1') {
  return proxy(new NextRequest(`${OWN}${path}`, { method, headers: { host: HOST, ...headers } }))
}

const nonceOf = (response: Response) =>
  /'nonce-([^']+)'/.exec(response.headers.get('content-security-policy') ?? '')?.[1]

describe.each(['POST', 'PUT', 'PATCH', 'DELETE'])('a %s', (method) => {
  test.each([
    ['our own page', { origin: OWN }, 200],
    ['our own page, as browsers say it', { origin: OWN, 'sec-fetch-site': 'same-origin' }, 200],
    ['another host', { origin: 'http://elsewhere.example' }, 403],
    ['another port of our host', { origin: 'http://workshop.example:3001' }, 403],
    ['a host that begins like ours', { origin: 'http://workshop.example:3000.elsewhere.example' }, 403],
    ['a page without origin (null)', { origin: 'null' }, 403],
    ['nobody knows where', {}, 403],
    ['something that is no address', { origin: 'workshop.example:3000' }, 403],
    ['another site under our origin', { origin: OWN, 'sec-fetch-site': 'cross-site' }, 403],
    ['a brother site under our origin', { origin: OWN, 'sec-fetch-site': 'same-site' }, 403],
    [
      'another host that a forwarding header vouches for',
      { origin: 'http://elsewhere.example', 'x-forwarded-host': 'elsewhere.example' },
      403,
    ],
    ['a plain page of a site served over https', { origin: OWN, 'x-forwarded-proto': 'https' }, 403],
  ])('sent by %s is answered %#', (_, headers, status) => {
    expect(ask(method, headers as Record<string, string>).status).toBe(status)
  })
})

test('a refused write is answered with problem details and the same protection', async () => {
  const response = ask('POST', { origin: 'http://elsewhere.example' })
  expect(response.headers.get('content-type')).toMatch(/^application\/problem\+json/)
  expect(response.headers.get('x-frame-options')).toBe('DENY')
  expect(await response.json()).toMatchObject({
    status: 403,
    detail: 'The request was refused: it was sent by a page of another host.',
  })
})

test.each(['GET', 'HEAD'])('a %s passes from anywhere: it writes nothing', (method) => {
  expect(ask(method, { origin: 'http://elsewhere.example', 'sec-fetch-site': 'cross-site' }).status).toBe(200)
})

test('a method nobody has heard of is treated as a write', () => {
  const request = { method: 'PURGE', host: HOST, origin: null, secFetchSite: null, forwardedProto: null }
  expect(originFault(request)).not.toBeNull()
})

test('a standard port may be written or left out, and a host in capitals is the same host', () => {
  const request = { method: 'POST', secFetchSite: null, forwardedProto: null }
  expect(originFault({ ...request, host: 'workshop.example:80', origin: 'http://workshop.example' })).toBeNull()
  expect(originFault({ ...request, host: 'Workshop.Example', origin: 'http://workshop.example' })).toBeNull()
  expect(originFault({ ...request, host: 'workshop.example:80', origin: 'https://workshop.example' })).not.toBeNull()
  expect(originFault({ ...request, host: null, origin: 'http://workshop.example' })).not.toBeNull()
})

describe('the content policy', () => {
  const directives = (response: Response) =>
    new Map(
      (response.headers.get('content-security-policy') ?? '').split('; ').map((directive) => {
        const [name = '', ...sources] = directive.split(' ')
        return [name, sources]
      }),
    )

  test('lets scripts run only with the nonce of this answer, and evaluates nothing', () => {
    const sources = directives(ask('GET')).get('script-src')
    expect(sources).toEqual(["'self'", expect.stringMatching(/^'nonce-/), "'strict-dynamic'", "'wasm-unsafe-eval'"])
    expect(ask('GET').headers.get('content-security-policy')).not.toContain("'unsafe-eval'")
  })

  test('has another nonce for every request, of at least 128 bits', () => {
    const nonces = Array.from({ length: 50 }, () => nonceOf(ask('GET')) ?? '')
    expect(new Set(nonces).size).toBe(50)
    for (const nonce of nonces) expect(Buffer.from(nonce, 'base64').length).toBeGreaterThanOrEqual(16)
  })

  test('is handed on to the page, so that its scripts get the same nonce', () => {
    const response = ask('GET')
    // Where Next keeps the headers of the request that goes on.
    expect(response.headers.get('x-middleware-request-content-security-policy')).toBe(
      response.headers.get('content-security-policy'),
    )
  })

  test('allows no frames, plugins, foreign forms or foreign base', () => {
    const policy = directives(ask('GET'))
    expect(policy.get('frame-ancestors')).toEqual(["'none'"])
    expect(policy.get('object-src')).toEqual(["'none'"])
    expect(policy.get('form-action')).toEqual(["'self'"])
    expect(policy.get('base-uri')).toEqual(["'self'"])
    expect(policy.get('img-src')).toEqual(["'self'", 'blob:', 'data:'])
  })
})

test('every answer carries the other protective headers', () => {
  expect(Object.fromEntries(ask('GET').headers)).toMatchObject({
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'same-origin',
    'permissions-policy': expect.stringContaining('camera=(self)'),
    'cross-origin-opener-policy': 'same-origin',
    'x-frame-options': 'DENY',
  })
})

test('the page is told its own path, whatever the browser says it is', () => {
  const response = ask('GET', { 'x-cotterbook-path': '//elsewhere.example' })
  expect(response.headers.get('x-middleware-request-x-cotterbook-path')).toBe('/jobs?open=1')
})

test('runs before every page and route, and not before files that hold no page', () => {
  const [pattern = ''] = config.matcher
  const runs = (path: string) => new RegExp(`^${pattern}$`).test(path)
  expect(
    ['/', '/jobs/7', '/api/v1/movements', '/vendors', '/icon.svg/x', '/pictures/3'].filter((path) => !runs(path)),
  ).toEqual([])
  expect(['/_next/static/x.js', '/vendor/worker.js', '/icon.svg'].filter(runs)).toEqual([])
})
