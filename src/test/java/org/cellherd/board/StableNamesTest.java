package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class StableNamesTest {
  @TempDir private Path dev;

  private Path usb0 = Path.of("/");
  private Path usb1 = Path.of("/");

  @BeforeEach
  void plugTwoAdapters() throws IOException {
    usb0 = Files.createFile(dev.resolve("ttyUSB0"));
    usb1 = Files.createFile(dev.resolve("ttyUSB1"));
    link("by-id", "usb-adapter-if00", usb0);
    link("by-path", "socket-1", usb0);
    link("by-path", "socket-2", usb1);
  }

  private void link(String folder, String name, Path target) throws IOException {
    Files.createDirectories(dev.resolve("serial").resolve(folder));
    Files.createSymbolicLink(dev.resolve("serial").resolve(folder).resolve(name), target);
  }

  private String nameOf(Path device, boolean hasTwin) {
    return new StableNames(dev.resolve("serial")).of(device, hasTwin);
  }

  @Test
  void theAdaptersOwnNameIsChosenFirst() {
    assertThat(nameOf(usb0, false)).endsWith("by-id/usb-adapter-if00");
  }

  @Test
  void twinsAreToldApartByTheirSockets() {
    assertThat(nameOf(usb0, true)).endsWith("by-path/socket-1");
    assertThat(nameOf(usb1, true)).endsWith("by-path/socket-2");
  }

  @Test
  void aPortWithoutLinksKeepsItsDevice() {
    Path s0 = dev.resolve("ttyS0");

    assertThat(nameOf(s0, false)).isEqualTo(s0.toString());
  }
}
