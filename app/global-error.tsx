'use client'

import './base.css'

/** What is left when the frame of every page fails: the program's own words in place of the framework's. */
export default function FrameFailed({ error, reset }: { error: Error & { digest?: string }; reset: () => void }) {
  return (
    <html lang="en-GB">
      <body>
        <main className="page narrow stack" id="page">
          <title>Something went wrong - Cotterbook</title>
          <h1>Something went wrong in the program</h1>
          <p role="alert">
            The page could not be made. What was saved before is kept; nothing new was written.
            {error.digest ? ` Reference ${error.digest}.` : ''}
          </p>
          <button type="button" className="button primary" onClick={reset}>
            Try again
          </button>
        </main>
      </body>
    </html>
  )
}
