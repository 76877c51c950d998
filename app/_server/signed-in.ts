import { cookies, headers } from 'next/headers'
import { redirect } from 'next/navigation'
import { cache } from 'react'
import { peopleAnybody } from '@/lib/db/people.ts'
import { SESSION_LONGEST_MS, type SignedIn, sessionEnd, sessionRead } from '@/lib/db/session.ts'
import { mayDo, type Right } from '@/lib/people/role.ts'
import { PATH_HEADER, signInPath } from './local-path.ts'

const COOKIE = 'cotterbook-session'

/** Who is signed in, looked up once a request; null for nobody. */
export const person = cache(async (): Promise<SignedIn | null> => {
  const token = (await cookies()).get(COOKIE)?.value
  return token ? sessionRead(token, new Date()) : null
})

/** Who is signed in; whoever is not goes to the sign-in screen, or sets up the first manager. */
export async function signedIn(): Promise<SignedIn> {
  const who = await person()
  if (who) return who
  if (!(await peopleAnybody())) redirect('/first-manager')
  redirect(signInPath((await headers()).get(PATH_HEADER)))
}

/** Who is signed in and has the right; others are told whom to ask. For screens: actions and routes check for themselves. */
export async function signedInWith(right: Right): Promise<SignedIn> {
  const who = await signedIn()
  if (!mayDo(who.roles, right)) redirect(`/people/not-allowed?right=${right}`)
  return who
}

/**
 * Network address of the browser: the last one of X-Forwarded-For, which is what the nearest machine wrote. Only the count of
 * wrong tries hangs on it.
 */
export async function browserAddress(): Promise<string> {
  const chain = (await headers()).get('x-forwarded-for') ?? ''
  return (chain.split(',').at(-1)?.trim() || 'unknown').slice(0, 64)
}

async function overHttps(): Promise<boolean> {
  return (await headers()).get('x-forwarded-proto')?.split(',')[0]?.trim() === 'https'
}

/** Hands the browser its token. Only in an action or a route. */
export async function sessionCookieSet(token: string): Promise<void> {
  const jar = await cookies()
  jar.set(COOKIE, token, {
    httpOnly: true,
    sameSite: 'lax',
    path: '/',
    // Over plain http on the local network a secure cookie would never come back.
    secure: await overHttps(),
    // The session in the database ends earlier; the cookie only must not outlive it by much.
    maxAge: SESSION_LONGEST_MS / 1000,
  })
}

/** Ends the session and takes the cookie back. Only in an action or a route. */
export async function signedOut(): Promise<void> {
  const jar = await cookies()
  const token = jar.get(COOKIE)?.value
  if (token) await sessionEnd(token)
  jar.delete(COOKIE)
}
