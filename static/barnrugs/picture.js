// Makes a picture smaller on the phone, before it is sent: longest side as data-shrink says, upright, without metadata.
// Where anything fails, the file stays as it was chosen and the server does the same.
"use strict";

(() => {
  const QUALITY = 0.85;

  const drawn = async (file, longest) => {
    const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const pen = canvas.getContext("2d");
    pen.fillStyle = "white";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    return canvas;
  };

  const encoded = (canvas) => new Promise((keep) => canvas.toBlob(keep, "image/jpeg", QUALITY));

  const replace = (input, blob) => {
    const files = new DataTransfer();
    files.items.add(new File([blob], "picture.jpg", { type: "image/jpeg" }));
    input.files = files.files;
  };

  const show = (input, canvas) => {
    document.getElementById(`${input.id}_preview`)?.remove();
    canvas.id = `${input.id}_preview`;
    canvas.className = "preview";
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", input.dataset.preview || "");
    input.after(canvas);
  };

  const shrink = async (input) => {
    const file = input.files[0];
    if (!file) return;
    try {
      const canvas = await drawn(file, Number(input.dataset.shrink));
      const blob = await encoded(canvas);
      if (blob && input.files[0] === file) {
        replace(input, blob);
        show(input, canvas);
      }
    } catch {
      document.getElementById(`${input.id}_preview`)?.remove();
    }
  };

  document.addEventListener("change", (event) => {
    if (event.target.matches("input[type=file][data-shrink]")) {
      event.target.dataset.ready = "no";
      shrink(event.target).finally(() => {
        event.target.dataset.ready = "yes";
      });
    }
  });
})();
