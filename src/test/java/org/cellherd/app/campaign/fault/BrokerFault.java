package org.cellherd.app.campaign.fault;

import org.cellherd.app.campaign.stage.BrokenPath.Manner;

/** What the broker and the network to it do. */
public enum BrokerFault implements CampaignFault {
  CUT(false, (world, r) -> become(world, Manner.CUT)),
  DROPPED(
      false,
      (world, r) -> {
        world.path().drop();
        return Relief.NONE;
      }),
  NO_ACKNOWLEDGEMENT(false, (world, r) -> become(world, Manner.DEAF)),
  SILENT_FROM_THE_START(
      true,
      (world, r) -> {
        Relief relief = become(world, Manner.SILENT);
        world.path().drop();
        return relief;
      }),
  SILENT_ALL_AT_ONCE(true, (world, r) -> become(world, Manner.SILENT)),
  GARBAGE(true, (world, r) -> become(world, Manner.GARBAGE)),
  SLOW(true, (world, r) -> become(world, Manner.SLOW)),
  SESSION_TAKEN_OVER(
      true, (world, r) -> world.site().people().takeOver(world.path().clientId())::close);

  private final boolean isRealOnly;
  private final Strike strike;

  BrokerFault(boolean isRealOnly, Strike strike) {
    this.isRealOnly = isRealOnly;
    this.strike = strike;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.BROKER;
  }

  @Override
  public boolean isRealOnly() {
    return isRealOnly;
  }

  @Override
  public Strike strike() {
    return strike;
  }

  private static Relief become(World world, Manner manner) {
    world.path().become(manner);
    return () -> {
      world.path().become(Manner.WHOLE);
      // Half a connection's bytes are missing: no protocol goes on from there.
      world.path().drop();
    };
  }
}
