// A reading process that does what its task's file name says: a stand-in for a decoder brought down by a hostile file.
process.on('message', ({ id, task }) => {
  const name = task.path.split('/').at(-1)
  if (name === 'crash') process.abort()
  if (name === 'exit') process.exit(3)
  if (name === 'fault') process.send({ id, says: 'failed', why: 'RangeError: offset is out of bounds\n    at decode' })
  if (name === 'hang') for (;;);
  if (name === 'eat') {
    const eaten = []
    setInterval(() => eaten.push(Buffer.alloc(40e6, 1)), 5)
  }
  if (name === 'good') {
    process.send({ id, says: 'step', share: 0.5, step: 'Half way' })
    process.send({ id, says: 'done', answer: { kind: 'raster', pages: process.pid, name } })
  }
})
process.on('disconnect', () => process.exit(0))
