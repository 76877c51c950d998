'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'

const AREAS = [
  { href: '/', says: 'Today', under: ['/today'] },
  { href: '/machines', says: 'Machines', under: ['/machines', '/models', '/desk'] },
  { href: '/jobs', says: 'Jobs', under: ['/jobs', '/service-book', '/services', '/fasteners'] },
  { href: '/shelf', says: 'Shelf', under: ['/shelf', '/parts'] },
  { href: '/buying', says: 'Buying', under: ['/buying', '/winter'] },
]

const SETTINGS = { href: '/settings', says: 'Settings', under: ['/settings', '/people', '/exchange'] }

/** The areas; settings only for those who may change something there. */
export function MainNav({ settings }: { settings: boolean }) {
  const path = usePathname()
  return (
    <nav className="main-nav" aria-label="Areas">
      {[...AREAS, ...(settings ? [SETTINGS] : [])].map((area) => {
        const here = area.href === path || area.under.some((start) => path.startsWith(start))
        return (
          <Link key={area.href} href={area.href} aria-current={here ? 'page' : undefined} prefetch={false}>
            {area.says}
          </Link>
        )
      })}
    </nav>
  )
}
