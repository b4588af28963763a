package org.cellherd.app.campaign.fault;

/** What the card does. */
public enum DiskFault implements CampaignFault {
  FULL(
      false,
      (world, r) -> {
        world.card().fill();
        return () -> world.card().free();
      }),
  READ_ONLY(true, (world, r) -> refuse(world, 30)),
  FAILING(true, (world, r) -> refuse(world, 5)),
  SLOW_SYNC(
      true,
      (world, r) -> {
        world.site().shim().slowSyncs(200 + r.nextInt(2500));
        return () -> world.site().shim().slowSyncs(0);
      }),
  NO_MORE_FILES(
      true,
      (world, r) -> {
        world.card().takeFiles();
        return () -> world.card().freeFiles();
      });

  private final boolean isRealOnly;
  private final Strike strike;

  DiskFault(boolean isRealOnly, Strike strike) {
    this.isRealOnly = isRealOnly;
    this.strike = strike;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.DISK;
  }

  @Override
  public boolean mayHarmLog() {
    return this != SLOW_SYNC;
  }

  @Override
  public boolean isRealOnly() {
    return isRealOnly;
  }

  @Override
  public Strike strike() {
    return strike;
  }

  /** Writes fail with a number of the system: 5 is EIO, 30 is EROFS. */
  private static Relief refuse(World world, int errno) {
    world.site().shim().refuseWrites(errno);
    return () -> world.site().shim().refuseWrites(0);
  }
}
