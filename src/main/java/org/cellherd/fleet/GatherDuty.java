package org.cellherd.fleet;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Collectors;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;
import org.cellherd.pack.TimeSource;
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
  private static final int MOST_A_COMMIT = 200;
  private static final long SHARE_NANOS = 1_000_000_000L;
  private static final long RETRY_NANOS = 2_000_000_000L;
  private static final long SOON_NANOS = 5_000_000L;

  private final GatherSettings settings;
  private final TimeSource time;
  private final Months months = new Months();
  private final Pieces pieces = new Pieces();
  private final Set<Integer> subscribed = new TreeSet<>();
  private final AtomicLong stored = new AtomicLong();
  private @Nullable Centre centre;
  private @Nullable Lanes lanes;
  private volatile int lanesNow;
  private long sharedNanos;
  private long failedNanos;
  private String trouble = "";

  GatherDuty(GatherSettings settings, Centre centre, TimeSource time) {
    this.settings = settings;
    this.time = time;
    use(centre);
    this.failedNanos = time.monotonicNanos() - RETRY_NANOS;
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

  /** Closes the database. */
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

  /** Stores what waits; true when more waits. */
  private boolean takeAll(Connection connection) throws BrokerTrouble, CentreTrouble {
    List<Arrived> batch = new ArrayList<>();
    Map<String, NowRow> states = new LinkedHashMap<>();
    int taken = 0;
    for (Optional<Received> next = connection.nextReceived();
        next.isPresent();
        next = connection.nextReceived()) {
      take(next.get(), batch, states);
      taken++;
      if (taken >= MOST_A_COMMIT) {
        break;
      }
    }
    Centre open = centre;
    if (open == null) {
      return false;
    }
    NowRow.store(open, states.values());
    if (!batch.isEmpty()) {
      answer(connection, new ParcelBatch(open, months).store(batch));
      stored.addAndGet(batch.size());
    }
    return taken > 0;
  }

  private void take(Received message, List<Arrived> batch, Map<String, NowRow> states) {
    Optional<Lane> lane = Lane.of(settings.root(), message.topic());
    if (lane.isEmpty() || message.text().isEmpty()) {
      return;
    }
    try {
      if (message.topic().equals(lane.get().parcel())) {
        pieces
            .add(lane.get().site(), ParcelText.parse(message.text()))
            .ifPresent(t -> batch.add(new Arrived(lane.get(), t)));
      } else {
        String pack = message.topic().substring(message.topic().lastIndexOf('/') + 1);
        states.put(message.topic(), NowRow.of(lane.get(), pack, message.text()));
      }
    } catch (IllegalArgumentException wrong) {
      LOG.log(
          System.Logger.Level.WARNING,
          message.topic() + ": a message is left out: " + wrong.getMessage());
    }
  }

  private void answer(Connection connection, List<HeldAnswer> answers) throws BrokerTrouble {
    Map<Lane, List<HeldAnswer>> bySite =
        answers.stream().collect(Collectors.groupingBy(HeldAnswer::lane));
    for (Map.Entry<Lane, List<HeldAnswer>> site : bySite.entrySet()) {
      String text =
          site.getValue().stream().map(a -> a.held().line()).collect(Collectors.joining("\n"));
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
