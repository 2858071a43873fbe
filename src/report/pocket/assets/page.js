const model = JSON.parse(document.getElementById('model').textContent);
window.wheelworth = Object.assign(wheelworthModel(model), { model });
