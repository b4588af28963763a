package org.cellherd.app.campaign.fault;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Stream;

/** All kinds of fault, drawn so that each strikes about as often as any other. */
public final class Catalogue {

  private final List<CampaignFault> kinds;
  private final Random random;
  private final Deque<CampaignFault> bag = new ArrayDeque<>();

  /** Those of one kind of campaign; of names of kinds and families only those, of none all. */
  public Catalogue(boolean isReal, boolean hasCard, Set<String> only, Random random) {
    this.kinds =
        all()
            .filter(fault -> isReal ? fault != ClockFault.SUSPENDED : !fault.isRealOnly())
            .filter(
                fault ->
                    only.isEmpty()
                        || only.contains(fault.name())
                        || only.contains(fault.family().name()))
            .filter(fault -> hasCard || fault.family() != FaultFamily.DISK)
            .toList();
    this.random = random;
  }

  /** Every kind there is. */
  public static Stream<CampaignFault> all() {
    return Stream.of(
            LineFault.values(),
            SocketFault.values(),
            SensorFault.values(),
            ClockFault.values(),
            ProcessFault.values(),
            DiskFault.values(),
            FileFault.values(),
            BrokerFault.values(),
            PageFault.values(),
            InputFault.values())
        .flatMap(Stream::<CampaignFault>of);
  }

  /** The next one that the condition lets through, if any; the others wait for a later draw. */
  public Optional<CampaignFault> draw(Predicate<CampaignFault> condition) {
    Optional<CampaignFault> next = bag.stream().filter(condition).findFirst();
    if (next.isEmpty()) {
      List<CampaignFault> fresh = new ArrayList<>(kinds);
      Collections.shuffle(fresh, random);
      fresh.removeAll(bag);
      bag.addAll(fresh);
      next = fresh.stream().filter(condition).findFirst();
    }
    next.ifPresent(bag::remove);
    return next;
  }
}
