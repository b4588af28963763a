package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.mqtt.link.Publication;
import org.junit.jupiter.api.Test;

class RetainedStatesTest {
  private final RetainedStates states = new RetainedStates();

  private String nextTopic() {
    return states.next().orElseThrow().topic();
  }

  @Test
  void anAlertThatCouldNotBeSentKeepsItsPlace() {
    states.put("reading", "1");
    states.putUrgently("alert", "raised");
    Publication alert = states.next().orElseThrow();

    states.notSent(alert);

    assertThat(nextTopic()).isEqualTo("alert");
    assertThat(nextTopic()).isEqualTo("reading");
    assertThat(states.isClean()).isTrue();
  }

  @Test
  void alertsGoFirstOverANewConnectionToo() {
    states.put("reading", "1");
    states.putUrgently("alert", "raised");
    nextTopic();
    nextTopic();

    states.sendAllAgain();

    assertThat(nextTopic()).isEqualTo("alert");
    assertThat(nextTopic()).isEqualTo("reading");
  }

  @Test
  void whatIsNoLongerWantedDoesNotComeUpAgain() {
    states.putUrgently("alert", "raised");
    Publication old = states.next().orElseThrow();
    states.putUrgently("alert", "worse");
    nextTopic();

    states.notSent(old);

    assertThat(states.isClean()).isTrue();
  }
}
