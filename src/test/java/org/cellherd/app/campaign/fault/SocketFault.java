package org.cellherd.app.campaign.fault;

import java.io.IOException;
import org.cellherd.app.campaign.stage.BoardPort.Manner;

/** What a bridge on the network or an adapter does to its connections. */
public enum SocketFault implements CampaignFault {
  RESET(
      (world, r) -> {
        world.site().tcp().hangUp(true);
        return Relief.NONE;
      }),
  CLOSED(
      (world, r) -> {
        world.site().tcp().hangUp(false);
        return Relief.NONE;
      }),
  REFUSING((world, r) -> become(world, Manner.REFUSING)),
  HANGING_UP((world, r) -> become(world, Manner.HANGING_UP)),
  HALF_OPEN((world, r) -> become(world, Manner.HALF_OPEN)),
  DRIBBLING((world, r) -> become(world, Manner.DRIBBLING)),
  ADAPTER_RENUMBERED(
      (world, r) -> {
        world.site().cable().renumber();
        return Relief.NONE;
      });

  private final Strike strike;

  SocketFault(Strike strike) {
    this.strike = strike;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.LINE;
  }

  @Override
  public boolean isRealOnly() {
    return true;
  }

  @Override
  public Strike strike() {
    return strike;
  }

  private static Relief become(World world, Manner manner) throws IOException {
    world.site().tcp().become(manner);
    return () -> world.site().tcp().become(Manner.HONEST);
  }
}
