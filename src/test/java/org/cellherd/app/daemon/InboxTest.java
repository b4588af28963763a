package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class InboxTest {

  private static Inbox.Heard reading(long timeMs) {
    return new Inbox.Heard("crate", Reading.at(timeMs).build());
  }

  @Test
  void slowOwnerCostsReadingsWhichAreCounted() throws InterruptedException {
    Inbox inbox = new Inbox(2, false);
    for (int i = 0; i < 5; i++) {
      inbox.put(reading(i));
    }

    assertThat(inbox.takeSkipped("crate")).isEqualTo(3);
    assertThat(inbox.takeSkipped("crate")).isZero();
    assertThat(inbox.take(0)).isEqualTo(reading(0));
    assertThat(inbox.take(0)).isEqualTo(reading(1));
    assertThat(inbox.take(0)).isNull();
  }

  @Test
  void gapsAndTasksAreNeverSkipped() throws InterruptedException {
    Inbox inbox = new Inbox(1, false);
    List<String> done = new ArrayList<>();
    for (int i = 0; i < 100; i++) {
      inbox.put(new Inbox.Heard("crate", new Gap(i, i + 1, Gap.Cause.NO_BYTES)));
      inbox.put(() -> done.add("x"));
    }

    int taken = 0;
    for (Inbox.Item item = inbox.take(0); item != null; item = inbox.take(0)) {
      taken++;
    }
    assertThat(taken).isEqualTo(200);
  }

  @Test
  void fasterThanRealTimeTheSourceWaitsInsteadOfSkipping() throws InterruptedException {
    Inbox inbox = new Inbox(3, true);
    Thread source =
        new Thread(
            () -> {
              for (int i = 0; i < 1000; i++) {
                inbox.put(reading(i));
              }
            });
    source.start();

    for (int i = 0; i < 1000; i++) {
      assertThat(inbox.take(10_000)).isEqualTo(reading(i));
    }
    source.join();
    assertThat(inbox.takeSkipped("crate")).isZero();
  }
}
