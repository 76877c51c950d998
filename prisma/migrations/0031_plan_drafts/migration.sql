-- AlterTable
ALTER TABLE "OrderPlanRun" ADD COLUMN "draftIds" TEXT;

-- AlterTable
ALTER TABLE "WinterOrder" ADD COLUMN "carriageMinor" INTEGER;
