package org.cellherd.protocol.bringup;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Contract: whatever was heard, bring-up comes to an end with sentences and, where it writes a
 * description, with one that holds no foreign characters. The first byte of each piece says how
 * long it is, who sent it and how long the pause before it was.
 */
class BringUpFuzzTest {

  @FuzzTest(maxDuration = "60s")
  void anyCaptureGivesAnIdentification(byte[] data) {
    List<HeardBytes> heard = new ArrayList<>();
    long now = 0;
    int at = 0;
    while (at < data.length) {
      int head = data[at] & 0xFF;
      int end = Math.min(data.length, at + 1 + (head & 0x3F));
      now += (head & 0x40) == 0 ? 3 : 200;
      heard.add(new HeardBytes(now, (head & 0x80) != 0, Arrays.copyOfRange(data, at + 1, end)));
      at = end;
    }

    Identification found = HeardBytes.identify(heard);

    assertThat(found.sentences()).isNotEmpty();
    assertThat(found.sentences()).noneMatch(s -> s.matches("(?s).*\\p{Cntrl}.*"));
    found.draft("fuzzed").ifPresent(text -> assertThat(text).matches("[\\n\\x20-\\x7E]*"));
  }
}
