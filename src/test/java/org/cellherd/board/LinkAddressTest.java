package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class LinkAddressTest {

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/dev/serial/by-id/usb-adapter-if00",
        "tcp:192.168.1.20:4001",
        "tcp:[fe80::1]:4001",
        "modbus-tcp:192.168.1.20:502",
        "modbus-tcp:[fe80::1]:502",
        "rfc2217:bridge.local:2217"
      })
  void anAddressIsReadAndWrittenAlike(String text) {
    assertThat(LinkAddress.parse(text).address().orElseThrow().text()).isEqualTo(text);
    assertThat(LinkAddress.parse(text).problem()).isEmpty();
  }

  @Test
  void theWordSerialMayStandBeforeAPath() {
    assertThat(LinkAddress.parse("serial:/dev/ttyS0").address())
        .contains(new LinkAddress.Serial("/dev/ttyS0"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "'' | is empty; allowed is a path",
        "ttyUSB0 | did you mean \"/dev/ttyUSB0\"?",
        "udp:host:1 | is no link; allowed is a path such as",
        "tcp:host | host and port are needed, such as \"tcp:192.168.1.20:4001\"",
        "tcp:host: | host and port are needed",
        "tcp::4001 | host and port are needed",
        "tcp:host:0 | port \"0\" is no number from 1 to 65535",
        "tcp:host:70000 | port \"70000\" is no number from 1 to 65535",
        "rfc2217:host:x | port \"x\" is no number",
        "tcp:fe80::1:4001 | an IPv6 address goes into brackets, such as \"tcp:[::1]:4001\"",
        "modbus-tcp:fe80::1:502 | brackets, such as \"modbus-tcp:[::1]:502\"",
        "tcp:a b:4001 | is no host name",
        "tcp://host:4001 | is no host name"
      })
  void aWrongAddressIsToldWithWhatWouldBeRight(String text, String problem) {
    assertThat(LinkAddress.parse(text).address()).isEmpty();
    assertThat(LinkAddress.parse(text).problem()).contains(problem);
  }
}
