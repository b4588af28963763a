package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.alert.AlertEvent;
import org.cellherd.pack.StorageFailure;
import org.junit.jupiter.api.Test;

class EventLineTest {

  private final MemoryOutbox outbox = new MemoryOutbox();
  private final EventLine line = new EventLine(outbox);

  private List<String> drain() {
    List<String> ids = new ArrayList<>();
    for (Optional<AlertEvent> next = line.next(); next.isPresent(); next = line.next()) {
      ids.add(next.get().id());
      line.acknowledged(next.get());
    }
    line.report();
    return ids;
  }

  private static List<String> ids(List<AlertEvent> events) {
    return events.stream().map(AlertEvent::id).toList();
  }

  @Test
  void whatIsInTheOutboxAndFreshGoesOutOnceInOrder() {
    List<AlertEvent> events = TestSite.notices(500);
    events.forEach(outbox::commit);
    events.subList(400, 500).forEach(line::fresh);

    assertThat(drain()).isEqualTo(ids(events));
    assertThat(outbox.waitingCount()).isZero();
  }

  @Test
  void freshEventOvertakenByItsCommitIsNotSentTwice() {
    AlertEvent event = TestSite.notices(1).get(0);
    line.fresh(event);
    assertThat(drain()).containsExactly("e-1");

    outbox.commit(event);
    line.readAgain();

    assertThat(drain()).isEmpty();
    assertThat(outbox.waitingCount()).isZero();
  }

  @Test
  void eventInFlightWhenTheConnectionBrokeIsSentAgainFirst() {
    TestSite.notices(3).forEach(outbox::commit);
    assertThat(line.next().orElseThrow().id()).isEqualTo("e-1");

    line.restart();

    assertThat(drain()).containsExactly("e-1", "e-2", "e-3");
  }

  @Test
  void moreFreshEventsThanMemoryHoldsComeFromTheOutbox() {
    List<AlertEvent> events = TestSite.notices(EventLine.MOST_FRESH + 1_000);
    for (AlertEvent event : events) {
      line.fresh(event);
      outbox.commit(event);
    }

    assertThat(line.inMemory()).isEqualTo(EventLine.MOST_FRESH);
    assertThat(drain()).isEqualTo(ids(events));
  }

  @Test
  void brokenDiskDoesNotSilenceFreshEvents() {
    EventLine broken = new EventLine(new BrokenOutbox());
    broken.fresh(TestSite.notices(1).get(0));

    AlertEvent next = broken.next().orElseThrow();
    broken.acknowledged(next);
    broken.report();

    assertThat(next.id()).isEqualTo("e-1");
    assertThat(broken.next()).isEmpty();
    assertThat(broken.waiting()).isZero();
  }

  private static final class BrokenOutbox implements Outbox {
    @Override
    public List<AlertEvent> waiting(int most) throws StorageFailure {
      throw new StorageFailure(StorageFailure.Kind.NO_SPACE, "disk full");
    }

    @Override
    public int waitingCount() throws StorageFailure {
      throw new StorageFailure(StorageFailure.Kind.NO_SPACE, "disk full");
    }

    @Override
    public void delivered(List<String> eventIds) throws StorageFailure {
      throw new StorageFailure(StorageFailure.Kind.NO_SPACE, "disk full");
    }
  }
}
