import Link from 'next/link'
import type { ReactNode } from 'react'

/** Head of a screen that hangs below another: the way up, what the screen is about, its name, and what can be done at its side. */
export function PageHead({
  up,
  from,
  about,
  title,
  children,
}: {
  up: string
  from: string
  about?: string
  title: ReactNode
  children?: ReactNode
}) {
  return (
    <header className="page-head">
      <div>
        <p className="over">
          <Link href={up} prefetch={false}>
            {from}
          </Link>
          {about ? `: ${about}` : null}
        </p>
        <h1>{title}</h1>
      </div>
      {children}
    </header>
  )
}
