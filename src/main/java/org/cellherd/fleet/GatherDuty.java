package org.cellherd.fleet;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Collectors;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;
import org.cellherd.pack.TimeSource;
import org.cellherd.store.Parcel;
import org.jspecify.annotations.Nullable;

/**
 * What a gatherer does: shares the lanes, stores what comes in, and says what is held after the
 * commit. A database that cannot be used costs nothing: what is not said to be held comes again.
 * Gatherer's thread.
 */
final class GatherDuty implements Duty {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");
  private static final Object ANY = new Object();
  private static final Object REFUSED = new Object();
  private static final int MOST_A_COMMIT = 500;
  private static final long SHARE_NANOS = 1_000_000_000L;
  private static final long RETRY_NANOS = 2_000_000_000L;
  private static final long TIDY_NANOS = 3_600_000_000_000L;
  private static final long SOON_NANOS = 5_000_000L;

  /** So many parcels wait for no others; fewer wait so long: their commit would cost as much. */
  private static final int ENOUGH_FOR_A_COMMIT = 100;

  private static final long PARCELS_NANOS = 10_000_000L;

  /** States of packs wait so long for others: a commit for the few of each round costs as much. */
  private static final long STATES_NANOS = 500_000_000L;

  private final Gatherer.Settings settings;
  private final TimeSource time;
  private final Months months = new Months();
  private final Pieces pieces = new Pieces();
  private final SiteClocks clocks = new SiteClocks();
  private final Echo echo;
  private final Set<Integer> subscribed = new TreeSet<>();
  private final AtomicLong stored = new AtomicLong();
  private final Map<String, NowRow> states = new LinkedHashMap<>();
  private @Nullable Centre centre;
  private @Nullable Lanes lanes;
  private volatile int lanesNow;
  private long sharedNanos;
  private long failedNanos;
  private long tidiedNanos;
  private long statedNanos;
  private String trouble = "";

  GatherDuty(Gatherer.Settings settings, Centre centre, TimeSource time) {
    this.settings = settings;
    this.time = time;
    this.echo = new Echo(settings);
    use(centre);
    this.tidiedNanos = time.monotonicNanos() - TIDY_NANOS;
    this.failedNanos = time.monotonicNanos() - RETRY_NANOS;
    this.statedNanos = time.monotonicNanos() - STATES_NANOS;
  }

  private void use(Centre open) {
    centre = open;
    lanes = new Lanes(open, settings.link().clientId().hashCode());
    sharedNanos = time.monotonicNanos() - SHARE_NANOS;
  }

  long stored() {
    return stored.get();
  }

  int lanes() {
    return lanesNow;
  }

  @Override
  public void online(Connection connection) throws BrokerTrouble {
    subscribed.clear();
    // Proof that the broker works, before any site says a word.
    String name = settings.root() + "/gatherer/" + settings.link().clientId();
    connection.publish(new Publication(name, "", false), ANY);
    echo.send(connection, REFUSED, time.monotonicNanos());
  }

  @Override
  public void working() {}

  @Override
  public long work(Connection connection) throws BrokerTrouble {
    takeReceipts(connection);
    try {
      if (centre == null) {
        if (time.monotonicNanos() - failedNanos < RETRY_NANOS) {
          return RETRY_NANOS / 4;
        }
        use(Centre.openForWriting(settings.centre()));
      }
      share(connection);
      boolean isMore = takeAll(connection);
      echo.tellIfLate(time.monotonicNanos());
      tell("");
      return isMore ? SOON_NANOS : SHARE_NANOS / 4;
    } catch (CentreTrouble failure) {
      tell(failure.getMessage() + "; what sites send waits with them");
      leave(connection);
      return RETRY_NANOS / 4;
    }
  }

  private void tell(String what) {
    if (!what.equals(trouble)) {
      LOG.log(
          what.isEmpty() ? System.Logger.Level.INFO : System.Logger.Level.WARNING,
          what.isEmpty() ? "centre " + settings.centre() + " works again" : what);
      trouble = what;
    }
  }

  private void leave(Connection connection) throws BrokerTrouble {
    close();
    failedNanos = time.monotonicNanos();
    unsubscribe(connection, new TreeSet<>(subscribed));
  }

  void close() {
    if (centre != null) {
      centre.close();
    }
    centre = null;
    lanes = null;
    lanesNow = 0;
  }

  private void share(Connection connection) throws BrokerTrouble, CentreTrouble {
    Lanes present = lanes;
    Centre open = centre;
    long now = time.monotonicNanos();
    if (present == null || open == null || now - sharedNanos < SHARE_NANOS) {
      return;
    }
    sharedNanos = now;
    months.ahead(open);
    if (now - tidiedNanos >= TIDY_NANOS) {
      tidiedNanos = now;
      SetAside.dropDue(open, null);
    }
    present.share();
    Set<Integer> ours = present.ours();
    lanesNow = ours.size();
    Set<Integer> gone = new TreeSet<>(subscribed);
    gone.removeAll(ours);
    unsubscribe(connection, gone);
    Set<Integer> fresh = new TreeSet<>(ours);
    fresh.removeAll(subscribed);
    if (!fresh.isEmpty()) {
      connection.subscribe(filters(fresh), ANY, REFUSED);
      subscribed.addAll(fresh);
    }
  }

  private void unsubscribe(Connection connection, Set<Integer> gone) throws BrokerTrouble {
    if (!gone.isEmpty() && connection.isOpen()) {
      connection.unsubscribe(filters(gone), ANY);
    }
    subscribed.removeAll(gone);
  }

  private List<String> filters(Set<Integer> some) {
    List<String> filters = new ArrayList<>();
    for (int lane : some) {
      filters.add(Lane.parcels(settings.root(), lane));
      filters.add(Lane.nows(settings.root(), lane));
    }
    return filters;
  }

  private static final class Taken {
    final List<Arrived> batch = new ArrayList<>();
    final List<SiteAnswer> answers = new ArrayList<>();
  }

  /** Stores what waits; true when more may wait. */
  private boolean takeAll(Connection connection) throws BrokerTrouble, CentreTrouble {
    Taken all = new Taken();
    int taken = takeWaiting(connection, all);
    if (!all.batch.isEmpty() && all.batch.size() < ENOUGH_FOR_A_COMMIT) {
      LockSupport.parkNanos(PARCELS_NANOS);
      takeWaiting(connection, all);
    }
    Centre open = centre;
    if (open == null) {
      return false;
    }
    lookAtClocks(all);
    storeStates(open);
    if (!all.batch.isEmpty()) {
      all.answers.addAll(new ParcelBatch(open, months).store(all.batch));
      stored.addAndGet(all.batch.size());
    }
    answer(connection, all.answers);
    return taken > 0;
  }

  private int takeWaiting(Connection connection, Taken all) {
    int taken = 0;
    while (taken < MOST_A_COMMIT) {
      Optional<Received> next = connection.nextReceived();
      if (next.isEmpty()) {
        break;
      }
      take(next.get(), all);
      taken++;
    }
    return taken;
  }

  private void storeStates(Centre open) throws CentreTrouble {
    long now = time.monotonicNanos();
    boolean isDue = now - statedNanos >= STATES_NANOS || states.size() >= MOST_A_COMMIT;
    if (isDue && !states.isEmpty()) {
      statedNanos = now;
      states.values().forEach(s -> clocks.look(s.site(), s.clockMs(), time.wallMs()));
      NowRow.store(open, states.values());
      states.clear();
    }
  }

  private void lookAtClocks(Taken all) {
    long now = time.wallMs();
    for (Arrived each : all.batch) {
      Parcel parcel = each.text().parcel();
      OptionalLong ms = OptionalLong.of(parcel.kind().keyMs(parcel.key()));
      clocks.look(each.lane().site(), ms, now);
    }
  }

  private void take(Received message, Taken all) {
    Optional<Lane> lane = Lane.of(settings.root(), message.topic());
    if (echo.take(message) || lane.isEmpty() || message.text().isEmpty()) {
      return;
    }
    try {
      if (message.topic().equals(lane.get().parcel())) {
        pieces
            .add(lane.get().site(), ParcelText.parse(message.text()))
            .ifPresent(t -> all.batch.add(new Arrived(lane.get(), t)));
      } else {
        String pack = message.topic().substring(message.topic().lastIndexOf('/') + 1);
        states.put(message.topic(), NowRow.of(lane.get(), pack, message.text()));
      }
    } catch (IllegalArgumentException wrong) {
      String why = String.valueOf(wrong.getMessage());
      LOG.log(System.Logger.Level.WARNING, message.topic() + ": a message is left out: " + why);
      // Else its site would send it again for ever.
      CentreAnswer.Refused.of(message.text(), why)
          .ifPresent(no -> all.answers.add(new SiteAnswer(lane.get(), no)));
    }
  }

  private void answer(Connection connection, List<SiteAnswer> answers) throws BrokerTrouble {
    Map<Lane, List<SiteAnswer>> bySite =
        answers.stream().collect(Collectors.groupingBy(SiteAnswer::lane));
    for (Map.Entry<Lane, List<SiteAnswer>> site : bySite.entrySet()) {
      String text =
          site.getValue().stream().map(a -> a.text().line()).collect(Collectors.joining("\n"));
      // What finds no room here is not held for the site: it sends it again.
      connection.publish(new Publication(site.getKey().held(), text, false), ANY);
    }
  }

  private void takeReceipts(Connection connection) {
    for (Object receipt : connection.takeReceipts()) {
      if (receipt == REFUSED) {
        LOG.log(
            System.Logger.Level.ERROR,
            settings.link().refusal(settings.root() + "/...", "nothing can be gathered there"));
      }
    }
  }

  @Override
  public void offline(BrokerTrouble why) {
    subscribed.clear();
  }

  @Override
  public boolean farewell(Connection connection, boolean hurry) {
    return true;
  }
}
