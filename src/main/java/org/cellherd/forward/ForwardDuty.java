package org.cellherd.forward;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Duty;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;

/** What is sent to a centre, in which order. Forwarder's thread. */
final class ForwardDuty implements Duty {

  private static final System.Logger LOG = System.getLogger("org.cellherd.forward");
  private static final Object ANY = new Object();
  private static final Object REFUSED = new Object();
  private static final Object STOPPED = new Object();
  private static final long SOON_NANOS = 20_000_000L;

  /** How often the log is asked whether something changed. */
  private static final long LOOK_NANOS = 500_000_000L;

  private static final int MOST_REFUSALS = 10;
  private static final String UNANSWERED = "no centre answers what is forwarded";

  private final ForwardSettings settings;
  private final String log;
  private final LogFile file;
  private final TimeSource time;
  private final NowBoard board;
  private final ParcelWindow window;
  private final Throttle throttle;
  private boolean isListening;
  private boolean saidShared;
  private boolean saidStopped;
  private boolean stoppedHeard;
  private final Set<String> toldRefusals = new HashSet<>();
  private String trouble = "";

  ForwardDuty(ForwardSettings settings, LogFile file, String log, NowBoard board, TimeSource time) {
    this.settings = settings;
    this.file = file;
    this.log = log;
    this.board = board;
    this.time = time;
    this.window = new ParcelWindow(file.journal(), log, settings.againMs());
    this.throttle = new Throttle(settings.kbPerS());
  }

  @Override
  public void online(Connection connection) throws BrokerTrouble {
    window.restart();
    board.sendAllAgain();
    isListening = false;
    connection.publish(new Publication(settings.lane().link(), "online", true), ANY);
    connection.subscribe(List.of(settings.lane().held()), ANY, REFUSED);
    isListening = true;
  }

  @Override
  public void working() {}

  @Override
  public long work(Connection connection) throws BrokerTrouble {
    takeReceipts(connection);
    try {
      takeAnswers(connection);
      boolean allWent = sendNow(connection);
      long rest = isListening ? sendParcels(connection) : LOOK_NANOS;
      tellUnanswered();
      return allWent ? rest : SOON_NANOS;
    } catch (StorageFailure failure) {
      tell("forwarding waits: log " + failure.getMessage());
      return LOOK_NANOS;
    }
  }

  private void tell(String what) {
    if (!what.equals(trouble)) {
      trouble = what;
      LOG.log(
          what.isEmpty() ? System.Logger.Level.INFO : System.Logger.Level.WARNING,
          what.isEmpty() ? "forwarding goes on" : what);
    }
  }

  /** A broker takes what its rules then throw away, so only the silence tells. */
  private void tellUnanswered() throws StorageFailure {
    if (!window.isUnanswered()) {
      tell("");
    } else if (!trouble.startsWith(UNANSWERED)) {
      tell(
          String.format(
              Locale.ROOT,
              "%s: %s in the log, sent again after longer and longer pauses."
                  + " Is cellherd gather running, and do the rules of broker %s let this site"
                  + " write %s and read %s?",
              UNANSWERED,
              Spoken.counted(file.journal().waiting(), "waiting parcel"),
              settings.link().url(),
              settings.lane().parcel(),
              settings.lane().held()));
    }
  }

  private boolean sendNow(Connection connection) throws BrokerTrouble {
    long now = time.monotonicNanos();
    for (Optional<NowBoard.Due> due = board.next(now); due.isPresent(); due = board.next(now)) {
      String topic = settings.lane().now(due.get().pack());
      if (!connection.publish(new Publication(topic, due.get().json(), true), ANY)) {
        board.again(due.get());
        return false;
      }
    }
    return true;
  }

  private long sendParcels(Connection connection) throws BrokerTrouble, StorageFailure {
    file.journal().begin(settings.keepsUntilHeld());
    while (true) {
      long now = time.monotonicNanos();
      long rest = throttle.restNanos(now);
      if (rest > 0) {
        return Math.min(rest, LOOK_NANOS);
      }
      Optional<Parcel> next = window.next(now);
      if (next.isEmpty()) {
        return LOOK_NANOS;
      }
      long token = window.sent(next.get(), now);
      for (String text : ParcelText.of(log, token, next.get())) {
        throttle.sent(text.length());
        if (!connection.publish(new Publication(settings.lane().parcel(), text, false), ANY)) {
          return SOON_NANOS;
        }
      }
    }
  }

  private void takeAnswers(Connection connection) throws StorageFailure {
    List<CentreAnswer> answers = new ArrayList<>();
    for (Optional<Received> next = connection.nextReceived();
        next.isPresent();
        next = connection.nextReceived()) {
      if (next.get().topic().equals(settings.lane().held())) {
        answers.addAll(CentreAnswer.parse(next.get().text()));
      }
    }
    window.heard(answers, time.monotonicNanos()).forEach(this::tellRefused);
    if (window.isShared() && !saidShared) {
      saidShared = true;
      LOG.log(
          System.Logger.Level.WARNING,
          "another log is forwarded under the site's name \""
              + settings.lane().site()
              + "\" too; the centre keeps both apart. Give each site a name of its own");
    }
  }

  /** Each reason once, of a few: the rest is as that was. */
  private void tellRefused(ParcelWindow.Refusal refusal) {
    if (toldRefusals.size() < MOST_REFUSALS && toldRefusals.add(refusal.why())) {
      Parcel parcel = refusal.parcel();
      LOG.log(
          System.Logger.Level.WARNING,
          String.join(
              " ",
              "the centre does not take",
              parcel.kind().word(),
              parcel.key() + ":",
              refusal.why() + ".",
              "It stays in this log and is sent again later, at most once a day.",
              "Is cellherd gather older than this program?"));
    }
  }

  private void takeReceipts(Connection connection) {
    for (Object receipt : connection.takeReceipts()) {
      if (receipt == REFUSED) {
        LOG.log(
            System.Logger.Level.WARNING,
            settings.link().refusal(settings.lane().held(), "nothing is forwarded"));
        isListening = false;
      } else if (receipt == STOPPED) {
        stoppedHeard = true;
      }
    }
  }

  @Override
  public void offline(BrokerTrouble why) {
    isListening = false;
  }

  @Override
  public boolean farewell(Connection connection, boolean hurry) throws BrokerTrouble {
    takeReceipts(connection);
    if (!saidStopped) {
      board.sendAllAgain();
      saidStopped =
          sendNow(connection)
              && connection.publish(
                  new Publication(settings.lane().link(), "stopped", true), STOPPED);
    }
    return stoppedHeard;
  }
}
