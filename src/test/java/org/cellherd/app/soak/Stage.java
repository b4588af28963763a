package org.cellherd.app.soak;

import java.util.concurrent.TimeUnit;
import org.cellherd.app.campaign.stage.BrokenPath;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.pack.SimulatedTime;

/** Where mishaps begin and end: the line, the network, the clock and the card of one run. */
final class Stage {

  private static final long FORWARD_MS = TimeUnit.MINUTES.toMillis(47);
  private static final long BACK_MS = TimeUnit.MINUTES.toMillis(13);
  private static final long PAST_MS = TimeUnit.DAYS.toMillis(400);

  private final RoughLink link;
  private final BrokenPath path;
  private final SimulatedTime time;
  private final Card card;

  Stage(RoughLink link, BrokenPath path, SimulatedTime time, Card card) {
    this.link = link;
    this.path = path;
    this.time = time;
    this.card = card;
  }

  void begin(Mishap mishap) {
    switch (mishap) {
      case PLAN_CHANGED -> throw new IllegalArgumentException("only between two runs");
      case CABLE_PULLED -> link.become(RoughLink.Fault.UNPLUGGED);
      case LINE_GARBLED -> link.become(RoughLink.Fault.GARBLED);
      case BOARD_MUTE -> link.become(RoughLink.Fault.MUTE);
      case NETWORK_CUT -> path.become(BrokenPath.Manner.CUT);
      case CLOCK_FORWARD -> time.stepWallMs(FORWARD_MS);
      case CLOCK_BACK -> time.stepWallMs(-BACK_MS);
      case DISK_FULL -> card.fill();
      case WRONG_CLOCK_AT_BOOT -> {
        time.setWallSure(false);
        time.stepWallMs(-PAST_MS);
      }
    }
  }

  void end(Mishap mishap) {
    switch (mishap) {
      case PLAN_CHANGED -> throw new IllegalArgumentException("only between two runs");
      case CABLE_PULLED, LINE_GARBLED, BOARD_MUTE -> link.become(RoughLink.Fault.NONE);
      case NETWORK_CUT -> path.become(BrokenPath.Manner.WHOLE);
      case CLOCK_FORWARD -> time.stepWallMs(-FORWARD_MS);
      case CLOCK_BACK -> time.stepWallMs(BACK_MS);
      case DISK_FULL -> card.free();
      case WRONG_CLOCK_AT_BOOT -> {
        time.stepWallMs(PAST_MS);
        time.setWallSure(true);
      }
    }
  }
}
