// A phone's photo is larger than what is kept: make it smaller here, before it is sent.
const form = document.getElementById("photo-form"), input = document.getElementById("photo");
const SIDE = 1600;

async function smaller(file) {
  const picture = await createImageBitmap(file);
  const scale = Math.min(1, SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => { canvas.toBlob(done, "image/jpeg", 0.85); });
  return new File([blob], "photo.jpg", { type: "image/jpeg" });
}

input.addEventListener("change", async () => {
  const said = document.getElementById("photo-said"), file = input.files[0];
  said.textContent = "";
  if (!file || file.size <= Number(input.dataset.most)) return;
  const button = form.querySelector("button");
  button.disabled = true;
  try {
    const held = new DataTransfer();
    held.items.add(await smaller(file));
    input.files = held.files;
    said.textContent = said.dataset.saySmaller;
  } catch { said.textContent = said.dataset.sayTooLarge; }
  button.disabled = false;
});
