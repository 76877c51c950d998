-- AlterTable
ALTER TABLE "Job" ADD COLUMN "joinedToId" INTEGER;

-- CreateTable
CREATE TABLE "ServiceSchedule" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "modelId" INTEGER NOT NULL,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "everyTenths" INTEGER,
    "everyMonths" INTEGER,
    "toleranceTenths" INTEGER NOT NULL DEFAULT 0,
    "toleranceDays" INTEGER NOT NULL DEFAULT 0,
    "retiredAt" DATETIME,
    CONSTRAINT "ServiceSchedule_modelId_fkey" FOREIGN KEY ("modelId") REFERENCES "MachineModel" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ServiceLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "scheduleId" INTEGER NOT NULL,
    "key" TEXT NOT NULL,
    "sort" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "figureId" INTEGER,
    "item" TEXT,
    "partId" INTEGER,
    "positions" TEXT NOT NULL DEFAULT '[]',
    "quantity" INTEGER,
    "text" TEXT NOT NULL,
    "retiredAt" DATETIME,
    CONSTRAINT "ServiceLine_scheduleId_fkey" FOREIGN KEY ("scheduleId") REFERENCES "ServiceSchedule" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ServiceLine_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "ServiceLine_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ServiceOfJob" (
    "jobId" INTEGER NOT NULL,
    "scheduleId" INTEGER NOT NULL,

    PRIMARY KEY ("jobId", "scheduleId"),
    CONSTRAINT "ServiceOfJob_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ServiceOfJob_scheduleId_fkey" FOREIGN KEY ("scheduleId") REFERENCES "ServiceSchedule" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ServiceTask" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "jobId" INTEGER NOT NULL,
    "lineId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "sort" INTEGER NOT NULL,
    "text" TEXT NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'open',
    "note" TEXT,
    "doneAt" DATETIME,
    "doneById" TEXT,
    CONSTRAINT "ServiceTask_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ServiceTask_lineId_fkey" FOREIGN KEY ("lineId") REFERENCES "ServiceLine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ServiceDone" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "scheduleId" INTEGER NOT NULL,
    "machineId" INTEGER NOT NULL,
    "jobId" INTEGER NOT NULL,
    "at" DATETIME NOT NULL,
    "hourTenths" INTEGER NOT NULL,
    CONSTRAINT "ServiceDone_scheduleId_fkey" FOREIGN KEY ("scheduleId") REFERENCES "ServiceSchedule" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ServiceDone_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "ServiceSchedule_modelId_nameKey_key" ON "ServiceSchedule"("modelId", "nameKey");

-- CreateIndex
CREATE INDEX "ServiceLine_figureId_idx" ON "ServiceLine"("figureId");

-- CreateIndex
CREATE INDEX "ServiceLine_partId_idx" ON "ServiceLine"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "ServiceLine_scheduleId_key_key" ON "ServiceLine"("scheduleId", "key");

-- CreateIndex
CREATE INDEX "ServiceOfJob_scheduleId_idx" ON "ServiceOfJob"("scheduleId");

-- CreateIndex
CREATE INDEX "ServiceTask_lineId_state_idx" ON "ServiceTask"("lineId", "state");

-- CreateIndex
CREATE UNIQUE INDEX "ServiceTask_jobId_lineId_key" ON "ServiceTask"("jobId", "lineId");

-- CreateIndex
CREATE INDEX "ServiceDone_scheduleId_machineId_at_idx" ON "ServiceDone"("scheduleId", "machineId", "at");

-- CreateIndex
CREATE INDEX "ServiceDone_machineId_idx" ON "ServiceDone"("machineId");

-- CreateIndex
CREATE UNIQUE INDEX "ServiceDone_scheduleId_jobId_key" ON "ServiceDone"("scheduleId", "jobId");

-- CreateIndex
CREATE INDEX "HourReading_reason_idx" ON "HourReading"("reason");
