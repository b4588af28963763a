package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Whatever a line or a file holds is survived within bounds. */
class HostileBytesTest {
  private static final int[] TELNET = {0xFF, 0xFA, 0xF0, 0x2C, 0xFB, 0xFD, 0x00, 0x41};
  private final Random random = new Random(3);

  @Test
  void anyTelnetBytesAreTakenAndDataIsNeverMoreThanCame() {
    TelnetDecoder decoder = new TelnetDecoder();
    byte[] buffer = new byte[997];
    for (int run = 0; run < 2000; run++) {
      for (int i = 0; i < buffer.length; i++) {
        int any = random.nextInt(256);
        buffer[i] = (byte) (run % 2 == 0 ? TELNET[any % TELNET.length] : any);
      }
      assertThat(decoder.decode(buffer, buffer.length)).isBetween(0, buffer.length);
    }
    int commands = 0;
    while (decoder.nextCommand() != null) {
      commands++;
    }
    assertThat(commands).isBetween(1, 256);
  }

  @Test
  void whatIsEscapedIsDecodedToTheSameBytes() {
    for (int run = 0; run < 500; run++) {
      byte[] data = new byte[random.nextInt(60)];
      for (int i = 0; i < data.length; i++) {
        data[i] = (byte) TELNET[random.nextInt(TELNET.length)];
      }
      byte[] wire = TelnetDecoder.escape(data);
      int n = new TelnetDecoder().decode(wire, wire.length);
      assertThat(Arrays.copyOf(wire, n)).isEqualTo(data);
    }
  }

  @Test
  void aLineWithAnyBytesCostsACaptureNoOtherLine() throws IOException {
    String good = "{\"at_ms\":17672256,\"dir\":\"rx\",\"hex\":\"0103ff\"}\n";
    int refused = 0;
    for (int run = 0; run < 500; run++) {
      byte[] file = good.repeat(4).getBytes(StandardCharsets.UTF_8);
      int begin = random.nextInt(4) * good.length();
      for (int i = 1 + random.nextInt(12); i > 0; i--) {
        file[begin + random.nextInt(good.length() - 1)] = (byte) anyButNewLine();
      }
      int read = goodLines(new CaptureReader("c", new ByteArrayInputStream(file)));
      assertThat(read).as("run %d", run).isBetween(3, 4);
      refused += 4 - read;
    }
    assertThat(refused).as("of 500 damaged lines").isGreaterThan(250);
  }

  private int anyButNewLine() {
    int any = random.nextInt(255);
    return any < '\n' ? any : any + 1;
  }

  private static int goodLines(CaptureReader reader) throws IOException {
    int good = 0;
    for (int line = 0; line < 200; line++) {
      try {
        Optional<CaptureChunk> chunk = reader.next();
        if (chunk.isEmpty()) {
          return good;
        }
        good++;
      } catch (CaptureProblem e) {
        assertThat(e.getMessage()).startsWith("c:");
      }
    }
    throw new AssertionError("more lines than the file has");
  }
}
