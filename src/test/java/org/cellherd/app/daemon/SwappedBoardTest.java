package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.Proxy;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.WrongBoard;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.Remarks;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Boards are swapped and come back, while the program runs and while it is stopped, in an order
 * drawn at random, and now and then somebody acknowledges: the alert is active exactly while
 * another board than the pack's own answers, and people were told of that very board.
 */
class SwappedBoardTest {

  /** The log hears within ten seconds that an alert turned, as by the board that is back. */
  private static final long STEP_NANOS = TimeUnit.SECONDS.toNanos(20);

  @TempDir private Path folder;

  private String answering = "board 1";
  private String told = "";

  @Test
  void alertIsActiveExactlyWhileAnotherBoardAnswers() throws Exception {
    for (int seed = 1; seed <= 5; seed++) {
      try {
        swap(seed);
      } catch (AssertionError failed) {
        throw new AssertionError("seed " + seed, failed);
      }
    }
  }

  private void swap(int seed) throws Exception {
    Random drawn = new Random(seed);
    SimulatedSite site =
        new SimulatedSite(Scenarios.open("healthy-night"), folder.resolve("" + seed), null);
    answering = "board 1";
    told = "";
    String own = answering;
    for (int run = 0; run < 4; run++) {
      try (Daemon daemon = open(site)) {
        FastForward fast = new FastForward(daemon, site.time());
        for (int turn = 0; turn < 4; turn++) {
          fast.runUntil(site.time().monotonicNanos() + STEP_NANOS, () -> {});
          check(site, own, "run " + run + ", turn " + turn);
          if (drawn.nextInt(3) == 0) {
            acknowledgeAll(site);
          }
          if (drawn.nextInt(4) == 0) {
            own = answering;
            request(site);
            fast.runUntil(site.time().monotonicNanos() + STEP_NANOS, () -> {});
            check(site, own, "run " + run + ", turn " + turn + ", learnt anew");
            told = "";
          } else {
            answering = "board " + (1 + drawn.nextInt(3));
          }
        }
      }
      answering = drawn.nextBoolean() ? answering : "board " + (1 + drawn.nextInt(3));
    }
  }

  /** One that comes and goes may be clearing in the log. */
  private void check(SimulatedSite site, String own, String when) throws Exception {
    boolean isWrong = !answering.equals(own);
    if (isWrong) {
      assertThat(told)
          .as(when)
          .startsWith("Another board answers: " + answering + " instead of " + own);
    }
    try (LogFile log = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      List<AlertState> states =
          log.alertLog().standing().stream()
              .filter(a -> a.key().rule().equals(WrongBoard.ID))
              .map(Alert::state)
              .filter(s -> s != AlertState.RETURNED)
              .filter(s -> isWrong || s != AlertState.CLEARING)
              .toList();
      assertThat(states).as(when).hasSize(isWrong ? 1 : 0);
    }
  }

  private static void acknowledgeAll(SimulatedSite site) throws Exception {
    try (Remarks remarks = Remarks.open(site.config().storeFile(), site.config().store());
        LogFile log = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      for (Alert alert : log.alertLog().standing()) {
        remarks.acknowledge(alert.id(), "owner", site.time().wallMs());
      }
    }
  }

  /** Hears what wakes people; that somebody saw it, or that it is over, does not. */
  private final class Listener implements Sink {
    @Override
    public void event(AlertEvent event) {
      boolean wakes = event.change() == Change.RAISED || event.change() == Change.REPEATED;
      if (wakes && event.alert().key().rule().equals(WrongBoard.ID)) {
        told = event.alert().text();
      }
    }
  }

  private static void request(SimulatedSite site) throws Exception {
    try (Remarks remarks = Remarks.open(site.config().storeFile(), site.config().store())) {
      String pack = site.config().packs().get(0).plan().id();
      remarks.acknowledge(Daemon.boardRequest(pack), "owner", site.time().wallMs());
    }
  }

  private Daemon open(SimulatedSite site) {
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(new Listener()), Function.identity());
    return Daemon.open(
        site.config(),
        new Daemon.Parts(
            parts.time(),
            parts.computerTime(),
            spec -> naming(parts.decoders().find(spec)),
            parts.links(),
            parts.sinks(),
            parts.mqttListener()));
  }

  /** The same decoder for boards that name themselves. */
  private Decoder naming(Decoder whole) {
    return (Decoder)
        Proxy.newProxyInstance(
            Decoder.class.getClassLoader(),
            new Class<?>[] {Decoder.class},
            (proxy, method, arguments) -> {
              Object result = method.invoke(whole, arguments);
              return method.getName().equals("dialogue") ? naming((Dialogue) result) : result;
            });
  }

  private Dialogue naming(Dialogue dialogue) {
    return (Dialogue)
        Proxy.newProxyInstance(
            Dialogue.class.getClassLoader(),
            new Class<?>[] {Dialogue.class},
            (proxy, method, arguments) ->
                method.getName().equals("boardIdentity")
                    ? answering
                    : method.invoke(dialogue, arguments));
  }
}
