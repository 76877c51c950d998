import type { Metadata, Viewport } from 'next'
import Link from 'next/link'
import { connection } from 'next/server'
import type { ReactNode } from 'react'
import { mayDo } from '@/lib/people/role.ts'
import './base.css'
import { MainNav } from './_parts/main-nav.tsx'
import { Mark } from './_parts/mark.tsx'
import { MastheadSearch } from './_parts/masthead-search.tsx'
import { EarlyKeys } from './_parts/scan/early-keys.tsx'
import { Wedge } from './_parts/scan/wedge.tsx'
import { SignOut } from './_server/sign-out.tsx'
import { person } from './_server/signed-in.ts'
import { paths } from './paths.ts'
import { SETTING_RIGHTS } from './settings/rights.ts'

export const metadata: Metadata = {
  title: { default: 'Cotterbook', template: '%s - Cotterbook' },
  description:
    'From the callout on the drawing to the part on the shelf, the whole job, the service book and the order list.',
}

export const viewport: Viewport = {
  width: 'device-width',
  initialScale: 1,
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#faf7f0' },
    { media: '(prefers-color-scheme: dark)', color: '#0d2036' },
  ],
}

export default async function Frame({ children }: { children: ReactNode }) {
  // Every page is made per request, so that its scripts carry the nonce of this answer.
  await connection()
  const who = await person()
  return (
    <html lang="en-GB">
      <body>
        {who && <EarlyKeys />}
        <a className="skip" href="#page">
          Skip to the page
        </a>
        <header className="masthead">
          <div className="masthead-inner">
            <Link href={paths.today()} className="brand" prefetch={false}>
              <Mark />
              Cotterbook
            </Link>
            {who && (
              <>
                <MainNav settings={SETTING_RIGHTS.some((right) => mayDo(who.roles, right))} />
                <MastheadSearch />
                <Wedge />
                <div className="masthead-person">
                  <Link href={paths.people()} prefetch={false}>
                    {who.name}
                  </Link>
                  <SignOut />
                </div>
              </>
            )}
          </div>
        </header>
        {children}
      </body>
    </html>
  )
}
