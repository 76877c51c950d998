-- AlterTable
ALTER TABLE "DeliveryRecord" ADD COLUMN "priceMinor" INTEGER;

-- AlterTable
ALTER TABLE "OrderDraft" ADD COLUMN "winterPlanId" INTEGER;
