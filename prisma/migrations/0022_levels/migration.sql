-- CreateTable
CREATE TABLE "LevelRun" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "state" TEXT NOT NULL,
    "startedAt" DATETIME NOT NULL,
    "endedAt" DATETIME,
    "personId" TEXT,
    "pid" INTEGER,
    "beatAt" DATETIME NOT NULL,
    "step" TEXT NOT NULL,
    "done" INTEGER NOT NULL DEFAULT 0,
    "total" INTEGER NOT NULL DEFAULT 0,
    "changes" INTEGER NOT NULL DEFAULT 0,
    "parts" INTEGER NOT NULL DEFAULT 0,
    "settings" TEXT NOT NULL,
    "classes" TEXT,
    "words" TEXT
);

-- CreateTable
CREATE TABLE "LevelProposal" (
    "partId" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "runId" INTEGER NOT NULL,
    "state" TEXT NOT NULL,
    "method" TEXT NOT NULL,
    "oldReorderPoint" INTEGER,
    "oldOrderUpTo" INTEGER,
    "reorderPoint" INTEGER NOT NULL,
    "orderUpTo" INTEGER NOT NULL,
    "freeReorderPoint" INTEGER NOT NULL,
    "freeOrderUpTo" INTEGER NOT NULL,
    "moneyMinor" INTEGER NOT NULL,
    "weightMinor" INTEGER NOT NULL,
    "reason" TEXT NOT NULL,
    "forecast" TEXT NOT NULL,
    "decidedById" TEXT,
    "decidedAt" DATETIME,
    "decidedWords" TEXT,
    CONSTRAINT "LevelProposal_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "LevelChange" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "at" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "runId" INTEGER,
    "fromReorderPoint" INTEGER,
    "fromOrderUpTo" INTEGER,
    "toReorderPoint" INTEGER NOT NULL,
    "toOrderUpTo" INTEGER NOT NULL,
    "reason" TEXT NOT NULL,
    CONSTRAINT "LevelChange_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "LevelHold" (
    "partId" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "reason" TEXT NOT NULL,
    "untilOn" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    CONSTRAINT "LevelHold_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "LevelRun_state_idx" ON "LevelRun"("state");

-- CreateIndex
CREATE INDEX "LevelProposal_state_weightMinor_partId_idx" ON "LevelProposal"("state", "weightMinor", "partId");

-- CreateIndex
CREATE INDEX "LevelChange_partId_id_idx" ON "LevelChange"("partId", "id");

-- What was kept as a level, by whom and why, stays written.
CREATE TRIGGER IF NOT EXISTS level_change_never_updated BEFORE UPDATE ON "LevelChange" BEGIN
  SELECT RAISE(ABORT, 'level/append-only: a change of a level is never changed, set the level anew');
END;

CREATE TRIGGER IF NOT EXISTS level_change_never_deleted BEFORE DELETE ON "LevelChange" BEGIN
  SELECT RAISE(ABORT, 'level/append-only: a change of a level is never deleted, set the level anew');
END;
